#ifndef RUNDLET_CLIENT_STORE_STORE_HOME_H_
#define RUNDLET_CLIENT_STORE_STORE_HOME_H_

#include <string>

#include "absl/status/statusor.h"
#include "client/base/environment.h"

namespace rundlet::client {

// Where a device keeps its book: $RUNDLET_HOME, else $XDG_DATA_HOME/rundlet, else
// ~/.local/share/rundlet. The directory is its owner's alone, and so is every file in it.
class StoreHome {
 public:
  explicit StoreHome(std::string dir) : dir_(std::move(dir)) {}

  // FailedPrecondition when the environment names no place.
  static absl::StatusOr<StoreHome> Locate(const Environment& env);

  const std::string& dir() const { return dir_; }
  std::string database() const { return dir_ + "/cellar.db"; }
  // A repaired book that is whole, until it is put in the place of the damaged one.
  std::string salvaged() const { return dir_ + "/cellar.db.salvaged"; }
  std::string token() const { return dir_ + "/token"; }
  // The secret half of the key by which this device signs; see device_key.h.
  std::string device_key() const { return dir_ + "/device.key"; }
  // The key that takes its place once the server has recorded that.
  std::string next_device_key() const { return dir_ + "/device.key.next"; }
  // The key before this one.
  std::string old_device_key() const { return dir_ + "/device.key.old"; }
  // What syncs that ran by themselves found, a line each, until somebody has read it.
  std::string alarms() const { return dir_ + "/alarms"; }
  // What this device asked with to be let in (v1.JoinRequest), to ask the same again.
  std::string join_request() const { return dir_ + "/join-request"; }
  // How the server is known; see server_trust.h.
  std::string server_certificate() const { return dir_ + "/server.crt"; }
  // Held by whoever writes entries of this device, so that no running number is used twice.
  std::string writer_lock() const { return dir_ + "/writer.lock"; }
  // Held by the one sync that runs.
  std::string sync_lock() const { return dir_ + "/sync.lock"; }
  // When an attempt to sync failed, in microseconds since 1970; absent after one that worked.
  std::string sync_failed() const { return dir_ + "/sync-failed"; }
  // The last checkpoint of the server that held; see checkpoint_file.h.
  std::string checkpoint() const { return dir_ + "/checkpoint"; }
  std::string snapshot() const { return dir_ + "/snapshot"; }

 private:
  std::string dir_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_STORE_HOME_H_
