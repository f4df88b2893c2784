#include "server/store/device_store.h"

#include <algorithm>
#include <stdexcept>

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"
#include "server/store/pg_array.h"
#include "server/store/pg_value.h"

namespace rundlet::server {
namespace {

constexpr char kColumns[] = R"sql(
select d.cellar_id, c.name, d.device_id, d.device_name, d.member_id, d.member_name, d.role,
       d.token_sha256, (extract(epoch from d.revoked_at) * 1000000)::bigint, d.public_key,
       d.invitation_key, (extract(epoch from d.created_at) * 1000000)::bigint)sql";

constexpr char kOfCellar[] = R"sql(
from rundlet.device d join rundlet.cellar c on c.cellar_id = d.cellar_id
where d.cellar_id = $1)sql";

// One look by the key for each, as JournalStore reads entries.
constexpr char kOfThese[] = R"sql(
from (select unnest($2::uuid[]) as wanted_id) wanted
cross join lateral (select * from rundlet.device
                    where cellar_id = $1 and device_id = wanted_id limit 1) d
join rundlet.cellar c on c.cellar_id = d.cellar_id)sql";

constexpr char kInsert[] = R"sql(
insert into rundlet.device (cellar_id, device_id, member_id, member_name, device_name, role,
                            token_sha256, created_at, public_key, invitation_key)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10))sql";

Device DeviceFrom(const pqxx::row& row) {
  Device device;
  device.cellar_id = UuidFrom(row[0]);
  device.cellar_name = row[1].c_str();
  device.device_id = UuidFrom(row[2]);
  device.device_name = row[3].c_str();
  device.member_id = UuidFrom(row[4]);
  device.member_name = row[5].c_str();
  const absl::StatusOr<MemberRole> role = ParseRole(row[6].c_str());
  const std::string hash = BytesFrom(row[7]);
  if (!role.ok() || hash.size() != device.token_sha256.size()) {
    throw std::runtime_error("a device's row is not what the schema promises");
  }
  device.role = *role;
  std::copy(hash.begin(), hash.end(), device.token_sha256.begin());
  if (!row[8].is_null()) device.revoked_at = absl::FromUnixMicros(row[8].as<int64_t>());
  if (!row[9].is_null()) device.public_key = PublicKeyFrom(row[9]);
  if (!row[10].is_null()) device.invitation_key = PublicKeyFrom(row[10]);
  device.created_at = absl::FromUnixMicros(row[11].as<int64_t>());
  return device;
}

}  // namespace

void DeviceStore::Prepare(Statements& statements) {
  statements.prepare("find_device", absl::StrCat(kColumns, kOfCellar, " and d.device_id = $2"));
  statements.prepare("find_devices", absl::StrCat(kColumns, kOfThese));
  statements.prepare("list_devices",
                     absl::StrCat(kColumns, kOfCellar, " order by d.created_at, d.device_id"));
}

absl::StatusOr<Device> DeviceStore::Find(const Uuid& device_id) {
  return Guard("look a device up", [&]() -> absl::StatusOr<Device> {
    const pqxx::result rows =
        tx_.work().exec_prepared("find_device", tx_.cellar(), device_id.ToString());
    if (rows.empty()) {
      return absl::NotFoundError(
          absl::StrCat("there is no device ", device_id.ToString(), " here"));
    }
    return DeviceFrom(rows[0]);
  });
}

absl::StatusOr<std::vector<Device>> DeviceStore::FindThese(absl::Span<const Uuid> device_ids) {
  PgArray ids(PgType::kUuid);
  for (const Uuid& id : device_ids) ids.AddUuid(id);
  return Guard("look devices up", [&] {
    std::vector<Device> devices;
    for (const pqxx::row& row :
         tx_.work().exec_prepared("find_devices", tx_.cellar(), ids.Parameter()))
      devices.push_back(DeviceFrom(row));
    return devices;
  });
}

absl::StatusOr<std::vector<Device>> DeviceStore::List() {
  return Guard("list devices", [&] {
    std::vector<Device> devices;
    for (const pqxx::row& row : tx_.work().exec_prepared("list_devices", tx_.cellar())) {
      devices.push_back(DeviceFrom(row));
    }
    return devices;
  });
}

absl::Status DeviceStore::MakeCellar(absl::string_view name, absl::Time now) {
  return Guard("make a cellar", [&] {
    tx_.work().exec_params0(
        "insert into rundlet.cellar (cellar_id, name, created_at) values ($1, $2, $3)",
        tx_.cellar(), std::string(name), TimeParameter(now));
    tx_.work().exec_params0(
        "insert into rundlet.journal_head (cellar_id, size, updated_at) values ($1, 0, $2)",
        tx_.cellar(), TimeParameter(now));
  });
}

absl::Status DeviceStore::MakeDevice(const Device& device, absl::Time now) {
  return Guard("make a device", [&] {
    tx_.work().exec_params0(kInsert, tx_.cellar(), device.device_id.ToString(),
                            device.member_id.ToString(), device.member_name, device.device_name,
                            std::string(RoleName(device.role)),
                            BytesParameter(HashBytes(device.token_sha256)), TimeParameter(now),
                            KeyParameter(device.public_key), KeyParameter(device.invitation_key));
  });
}

absl::Status DeviceStore::SetPublicKey(const Uuid& device_id, const evidence::PublicKey& key) {
  return Guard("take a device's key", [&]() -> absl::Status {
    const pqxx::result done = tx_.work().exec_params(
        "update rundlet.device set public_key = $3 where cellar_id = $1 and device_id = $2",
        tx_.cellar(), device_id.ToString(), KeyParameter(key));
    if (done.affected_rows() == 1) return absl::OkStatus();
    return absl::NotFoundError(absl::StrCat("there is no device ", device_id.ToString(), " here"));
  });
}

absl::Status DeviceStore::Revoke(const Uuid& device_id, absl::Time now) {
  return Guard("revoke a device", [&]() -> absl::Status {
    const pqxx::result done = tx_.work().exec_params(
        "update rundlet.device set revoked_at = coalesce(revoked_at, greatest($3, created_at))"
        " where cellar_id = $1 and device_id = $2",
        tx_.cellar(), device_id.ToString(), TimeParameter(now));
    if (done.affected_rows() == 1) return absl::OkStatus();
    return absl::NotFoundError(absl::StrCat("there is no device ", device_id.ToString(), " here"));
  });
}

absl::StatusOr<int> DeviceStore::RevokeAllOf(const Uuid& member_id, absl::Time now) {
  return Guard("revoke a member's devices", [&] {
    const pqxx::result done = tx_.work().exec_params(
        "update rundlet.device set revoked_at = greatest($3, created_at)"
        " where cellar_id = $1 and member_id = $2 and revoked_at is null",
        tx_.cellar(), member_id.ToString(), TimeParameter(now));
    return static_cast<int>(done.affected_rows());
  });
}

absl::Status DeviceStore::SetToken(const Uuid& device_id, const Hash& token_sha256) {
  return Guard("give a device another token", [&] {
    tx_.work().exec_params0(
        "update rundlet.device set token_sha256 = $3 where cellar_id = $1 and device_id = $2",
        tx_.cellar(), device_id.ToString(), BytesParameter(HashBytes(token_sha256)));
  });
}

absl::StatusOr<int> DeviceStore::SetRole(const Uuid& member_id, MemberRole role) {
  return Guard("change a member's role", [&] {
    const pqxx::result done = tx_.work().exec_params(
        "update rundlet.device set role = $3 where cellar_id = $1 and member_id = $2"
        " and revoked_at is null and not (public_key is null and role = 'guest')",
        tx_.cellar(), member_id.ToString(), std::string(RoleName(role)));
    return static_cast<int>(done.affected_rows());
  });
}

absl::StatusOr<DeviceStore::Counts> DeviceStore::Count() {
  return Guard("count devices", [&] {
    const pqxx::row row = tx_.work().exec_params1(
        "select count(*), count(*) filter (where role = 'master' and revoked_at is null)"
        " from rundlet.device where cellar_id = $1",
        tx_.cellar());
    return Counts{.all = row[0].as<int>(), .masters = row[1].as<int>()};
  });
}

absl::StatusOr<std::vector<CellarName>> DeviceStore::ListCellars(pqxx::connection& owner) {
  return Guard("list cellars", [&] {
    std::vector<CellarName> cellars;
    pqxx::read_transaction work(owner);
    // The owner's policy shows all rows, but the policy of the transaction's cellar is asked, too.
    work.exec(
        "select set_config('rundlet.cellar_id', '00000000-0000-0000-0000-000000000000', true)");
    for (const pqxx::row& row :
         work.exec("select cellar_id, name from rundlet.cellar order by name, cellar_id")) {
      cellars.push_back({.cellar_id = UuidFrom(row[0]), .name = row[1].c_str()});
    }
    return cellars;
  });
}

}  // namespace rundlet::server
