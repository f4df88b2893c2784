#ifndef RUNDLET_CLIENT_SYNC_SYNC_RUN_H_
#define RUNDLET_CLIENT_SYNC_SYNC_RUN_H_

#include <string>

#include "absl/time/time.h"
#include "client/base/environment.h"

namespace rundlet::client {

struct SyncOptions {
  std::string home;
  std::string invitation;   // joining: by this
  std::string device_name;  // and what this device is called
  bool quiet = false;
  bool json = false;
  bool repair = false;
  absl::Duration budget = absl::InfiniteDuration();
};

// One sync of a store from beginning to end, or the joining of one: what rundlet-sync does. Returns
// the exit code.
int RunSync(const SyncOptions& options, const Environment& env);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_SYNC_RUN_H_
