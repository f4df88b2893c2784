#ifndef RUNDLET_TESTS_LOAD_LOAD_WORLD_H_
#define RUNDLET_TESTS_LOAD_LOAD_WORLD_H_

#include <memory>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "server/admin.h"
#include "tests/integration/process.h"
#include "tests/load/load_device.h"

namespace rundlet::load {

// The real rundletd with its private PostgreSQL, in a folder of its own, and the (invented) cellars
// and devices that load it. Devices are put into its database, not let in by invitations, so that
// hundreds are there at once.
class LoadWorld {
 public:
  // `programs` is the folder of rundletd; `folder` an empty one, which PostgreSQL's user can pass.
  static absl::StatusOr<std::unique_ptr<LoadWorld>> Start(const std::string& programs,
                                                          const std::string& folder);

  absl::StatusOr<Uuid> NewCellar(const std::string& name);
  // A device of a hand of its own.
  absl::StatusOr<LoadDevice> NewDevice(const Uuid& cellar_id, const std::string& name);
  // The invitation line for one that joins by the real client.
  absl::StatusOr<std::string> Invite(const std::string& cellar, const std::string& member);

  // Stops the server and starts it anew, with nothing in memory.
  absl::Status Restart();
  // What rundletd has in memory at present, and the most it ever had. Bytes.
  absl::StatusOr<double> Memory() const;
  absl::StatusOr<double> PeakMemory() const;
  // One number out of its database.
  absl::StatusOr<double> Ask(const std::string& sql);

 private:
  LoadWorld(std::string programs, std::string folder)
      : programs_(std::move(programs)), folder_(std::move(folder)) {}
  absl::Status StartServer();
  absl::StatusOr<double> StatusLine(const std::string& name) const;

  std::string programs_;
  std::string folder_;
  std::string address_;
  std::string certificate_;
  std::unique_ptr<testing::Background> server_;
  std::unique_ptr<server::Admin> admin_;
};

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_LOAD_WORLD_H_
