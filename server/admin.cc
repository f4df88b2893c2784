#include "server/admin.h"

#include <array>
#include <memory>
#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "server/service/token.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kLongestWork = absl::Minutes(30);  // a rebuild of a large cellar

absl::Status CheckName(absl::string_view what, absl::string_view name) {
  if (!name.empty() && name.find('\0') == absl::string_view::npos) return absl::OkStatus();
  return absl::InvalidArgumentError(absl::StrCat("the name of a ", what, " must not be empty"));
}

}  // namespace

Admin::Admin(Options options)
    : options_(std::move(options)),
      pool_({.connection_string = options_.connection_string,
             .max_connections = 1,
             .role = "",  // the login role, which owns the schema
             .application_name = "rundletd-admin",
             .statement_timeout = kLongestWork,
             .prepare = CellarTransaction::Prepare}) {}

absl::Time Admin::Deadline() const { return options_.now() + kLongestWork; }

Uuid Admin::NewId() {
  std::array<uint8_t, 10> random;
  options_.random(absl::MakeSpan(random));
  return Uuid::Version7(absl::ToUnixMillis(options_.now()), random);
}

absl::StatusOr<NewDevice> Admin::MakeDevice(CellarTransaction& transaction, Device device) {
  for (const auto& [what, name] :
       {std::pair("member", device.member_name), std::pair("device", device.device_name)}) {
    const absl::Status valid = CheckName(what, name);
    if (!valid.ok()) return valid;
  }
  device.device_id = NewId();
  TokenSecret secret;
  options_.random(absl::MakeSpan(secret));
  NewDevice made;
  made.token = FormatToken({device.cellar_id, device.device_id}, secret);
  device.token_sha256 = HashToken(made.token);
  const absl::Status status = DeviceStore(transaction).MakeDevice(device, options_.now());
  if (!status.ok()) return status;
  made.device = std::move(device);
  return made;
}

absl::StatusOr<NewDevice> Admin::NewCellar(absl::string_view name, absl::string_view master,
                                           absl::string_view device_name) {
  absl::Status status = CheckName("cellar", name);
  if (!status.ok()) return status;
  const absl::StatusOr<std::vector<CellarName>> cellars = ListCellars();
  if (!cellars.ok()) return cellars.status();
  for (const CellarName& cellar : *cellars) {
    if (cellar.name != name) continue;
    return absl::AlreadyExistsError(
        absl::StrCat("there is a cellar '", name, "' here already (", cellar.cellar_id.ToString(),
                     "): choose another name, or let a device into that one with: rundletd device "
                     "new --cellar '",
                     name, "' --member NAME"));
  }
  Device device{.cellar_id = NewId(),
                .cellar_name = std::string(name),
                .device_id = {},
                .device_name = std::string(device_name),
                .member_id = NewId(),
                .member_name = std::string(master),
                .role = MemberRole::kMaster};
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, device.cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  status = DeviceStore(**transaction).MakeCellar(name, options_.now());
  if (!status.ok()) return status;
  absl::StatusOr<NewDevice> made = MakeDevice(**transaction, std::move(device));
  if (!made.ok()) return made.status();
  status = (*transaction)->Commit();
  if (!status.ok()) return status;
  return made;
}

absl::StatusOr<NewDevice> Admin::AddDevice(const Uuid& cellar_id, absl::string_view member,
                                           MemberRole role, absl::string_view device_name) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  const absl::StatusOr<std::vector<Device>> devices = DeviceStore(**transaction).List();
  if (!devices.ok()) return devices.status();
  Device device{.cellar_id = cellar_id,
                .cellar_name = devices->empty() ? "" : devices->front().cellar_name,
                .device_id = {},
                .device_name = std::string(device_name),
                .member_id = NewId(),
                .member_name = std::string(member),
                .role = role};
  for (const Device& other : *devices) {
    if (other.member_name == member) device.member_id = other.member_id;
  }
  absl::StatusOr<NewDevice> made = MakeDevice(**transaction, std::move(device));
  if (!made.ok()) return made.status();
  const absl::Status committed = (*transaction)->Commit();
  if (!committed.ok()) return committed;
  return made;
}

absl::Status Admin::RevokeDevice(const Uuid& cellar_id, const Uuid& device_id) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  const absl::Status revoked = DeviceStore(**transaction).Revoke(device_id, options_.now());
  return revoked.ok() ? (*transaction)->Commit() : revoked;
}

absl::StatusOr<std::vector<Device>> Admin::ListDevices(const Uuid& cellar_id) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  return DeviceStore(**transaction).List();
}

absl::StatusOr<std::vector<CellarName>> Admin::ListCellars() {
  const absl::StatusOr<ConnectionPool::Lease> lease = pool_.Borrow(Deadline());
  if (!lease.ok()) return lease.status();
  return DeviceStore::ListCellars(**lease);
}

absl::StatusOr<CellarName> Admin::FindCellar(absl::string_view id_or_name) {
  const absl::StatusOr<std::vector<CellarName>> cellars = ListCellars();
  if (!cellars.ok()) return cellars.status();
  const absl::StatusOr<Uuid> id = Uuid::Parse(id_or_name);
  std::vector<CellarName> found;
  std::vector<std::string> names;
  for (const CellarName& cellar : *cellars) {
    if (cellar.name == id_or_name || (id.ok() && cellar.cellar_id == *id)) found.push_back(cellar);
    names.push_back(absl::StrCat("'", cellar.name, "' (", cellar.cellar_id.ToString(), ")"));
  }
  if (found.size() == 1) return found[0];
  if (found.size() > 1) {
    return absl::FailedPreconditionError(
        absl::StrCat("several cellars are called '", id_or_name,
                     "': name one by its id: ", absl::StrJoin(names, ", ")));
  }
  return absl::NotFoundError(
      absl::StrCat("there is no cellar '", id_or_name, "': ",
                   names.empty() ? "make one with 'rundletd cellar new'"
                                 : absl::StrCat("there are ", absl::StrJoin(names, ", "))));
}

}  // namespace rundlet::server
