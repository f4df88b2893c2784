#ifndef RUNDLET_SERVER_STORE_DEVICE_STORE_H_
#define RUNDLET_SERVER_STORE_DEVICE_STORE_H_

#include <optional>
#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"
#include "core/rights/rights.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// One installation of the client, and who uses it.
struct Device {
  Uuid cellar_id;
  std::string cellar_name;
  Uuid device_id;
  std::string device_name;
  Uuid member_id;
  std::string member_name;
  MemberRole role = MemberRole::kGuest;
  Hash token_sha256 = {};
  std::optional<absl::Time> revoked_at;
  // What it hands in is signed by this key. Without one it hands nothing in, and only reads.
  std::optional<evidence::PublicKey> public_key;
  std::optional<evidence::PublicKey> invitation_key;  // by which it came in
  absl::Time created_at;                              // set by MakeDevice
};

struct CellarName {
  Uuid cellar_id;
  std::string name;
};

// Cellars and their devices. All but what makes and lists cellars works as rundlet_server. Errors
// are as Guard maps them.
class DeviceStore {
 public:
  static void Prepare(Statements& statements);

  explicit DeviceStore(CellarTransaction& transaction) : tx_(transaction) {}

  // NotFound: the cellar has no such device, or there is no such cellar.
  absl::StatusOr<Device> Find(const Uuid& device_id);

  // Those of them that are here, in no order.
  absl::StatusOr<std::vector<Device>> FindThese(absl::Span<const Uuid> device_ids);

  // In the order of their making.
  absl::StatusOr<std::vector<Device>> List();

  // Makes the transaction's cellar, with an empty journal.
  absl::Status MakeCellar(absl::string_view name, absl::Time now);

  // Makes a device; `device.cellar_id` is the transaction's.
  absl::Status MakeDevice(const Device& device, absl::Time now);

  // From now on it signs by this key. NotFound as in Find.
  absl::Status SetPublicKey(const Uuid& device_id, const evidence::PublicKey& key);

  // From now on its token is refused. NotFound as in Find. Revoking twice keeps the first time.
  absl::Status Revoke(const Uuid& device_id, absl::Time now);
  // The same for all devices of a member that are good; how many they are.
  absl::StatusOr<int> RevokeAllOf(const Uuid& member_id, absl::Time now);

  // From now on this token is the device's, and the one before is nobody's.
  absl::Status SetToken(const Uuid& device_id, const Hash& token_sha256);

  // What the devices of a member that are good may do; how many they are. One that has no key and
  // is a guest's only reads, and stays so: its token is kept where others may see it.
  absl::StatusOr<int> SetRole(const Uuid& member_id, MemberRole role);

  // How many devices there are, and how many of them are good and a master's.
  struct Counts {
    int all = 0;
    int masters = 0;
  };
  absl::StatusOr<Counts> Count();

  // All cellars of the database, by name; for the owner, on a connection of its own.
  static absl::StatusOr<std::vector<CellarName>> ListCellars(pqxx::connection& owner);

 private:
  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_DEVICE_STORE_H_
