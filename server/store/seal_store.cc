#include "server/store/seal_store.h"

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"
#include "server/store/pg_array.h"
#include "server/store/pg_value.h"

namespace rundlet::server {
namespace {

constexpr char kAppend[] = R"sql(
insert into rundlet.seal (cellar_id, last_seq, device_id, bytes)
select $1::uuid, u.last_seq, u.device_id, u.bytes
from (select unnest($2::bigint[]) as last_seq, unnest($3::uuid[]) as device_id,
             unnest($4::bytea[]) as bytes) u)sql";

}  // namespace

void SealStore::Prepare(Statements& statements) {
  statements.prepare("append_seals", kAppend);
  statements.prepare("read_seals",
                     "select last_seq, bytes, until_here <= $4 or last_seq = first from"
                     " (select last_seq, bytes,"
                     " sum(octet_length(bytes)) over (order by last_seq) as until_here,"
                     " min(last_seq) over () as first from rundlet.seal where cellar_id = $1"
                     " and last_seq > $2 and last_seq <= $3) summed"
                     " where until_here - octet_length(bytes) <= $4 order by last_seq");
}

absl::Status SealStore::Append(absl::Span<const v1::Seal> seals) {
  if (seals.empty()) return absl::OkStatus();
  PgArray places(PgType::kInt8), devices(PgType::kUuid), bytes(PgType::kBytes);
  for (const v1::Seal& seal : seals) {
    places.AddInt(static_cast<int64_t>(seal.last_seq()));
    devices.AddUuid(Uuid::FromBytes(seal.device_id()).value_or(Uuid()));
    bytes.AddBytes(seal.SerializeAsString());
  }
  return Guard("write what was signed", [&] {
    tx_.work().exec_prepared("append_seals", tx_.cellar(), places.Parameter(), devices.Parameter(),
                             bytes.Parameter());
  });
}

absl::StatusOr<std::vector<v1::Seal>> SealStore::Read(uint64_t after, uint64_t* upto,
                                                      int64_t max_bytes) {
  return Guard("read what was signed", [&]() -> absl::StatusOr<std::vector<v1::Seal>> {
    std::vector<v1::Seal> seals;
    for (const pqxx::row& row :
         tx_.work().exec_prepared("read_seals", tx_.cellar(), after, *upto, max_bytes)) {
      if (!row[2].as<bool>()) {  // the first that is too much
        *upto = row[0].as<uint64_t>() - 1;
        break;
      }
      v1::Seal seal;
      if (!seal.ParseFromString(BytesFrom(row[1])) || seal.last_seq() != row[0].as<uint64_t>())
        return absl::DataLossError(
            absl::StrCat("the seal of place ", row[0].c_str(), " of the journal is damaged"));
      seals.push_back(std::move(seal));
    }
    return seals;
  });
}

}  // namespace rundlet::server
