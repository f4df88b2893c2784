#ifndef RUNDLET_SERVER_ADMIN_H_
#define RUNDLET_SERVER_ADMIN_H_

#include <functional>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "server/pg/connection_pool.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// A device that was made, and its token, which is shown this once and kept nowhere.
struct NewDevice {
  Device device;
  std::string token;
};

// What an administrator does to cellars and devices, as the owner of the database. Works beside
// running servers.
class Admin {
 public:
  struct Options {
    std::string connection_string;
    std::function<absl::Time()> now;
    std::function<void(absl::Span<uint8_t>)> random;  // fills with random bytes fit for secrets
  };

  explicit Admin(Options options);

  // A cellar, and the first device of its master.
  absl::StatusOr<NewDevice> NewCellar(absl::string_view name, absl::string_view master,
                                      absl::string_view device_name);

  // A device of a member; the same name is the same member. `role` is this device's.
  absl::StatusOr<NewDevice> AddDevice(const Uuid& cellar_id, absl::string_view member,
                                      MemberRole role, absl::string_view device_name);

  absl::Status RevokeDevice(const Uuid& cellar_id, const Uuid& device_id);

  absl::StatusOr<std::vector<Device>> ListDevices(const Uuid& cellar_id);
  absl::StatusOr<std::vector<CellarName>> ListCellars();

  // The cellar of this id or, exactly, of this name. NotFound, naming those that there are;
  // FailedPrecondition if several have the name.
  absl::StatusOr<CellarName> FindCellar(absl::string_view id_or_name);

  ConnectionPool& pool() { return pool_; }
  absl::Time Deadline() const;

 private:
  Uuid NewId();
  absl::StatusOr<NewDevice> MakeDevice(CellarTransaction& transaction, Device device);

  const Options options_;
  ConnectionPool pool_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_ADMIN_H_
