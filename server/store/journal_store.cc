#include "server/store/journal_store.h"

#include <algorithm>
#include <stdexcept>

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"
#include "server/store/pg_array.h"
#include "server/store/pg_value.h"

namespace rundlet::server {
namespace {

constexpr char kAppend[] = R"sql(
insert into rundlet.journal (cellar_id, seq, entry_id, device_id, device_seq, effective_at_us, kind,
                             leaf_hash, bytes, received_at)
select $1::uuid, $2::bigint + u.place, u.entry_id, u.device_id, u.device_seq, u.effective_at_us,
       u.kind, u.leaf_hash, u.bytes, $3::timestamptz
from (select generate_series(1, cardinality($4::uuid[])) as place, unnest($4::uuid[]) as entry_id,
             unnest($5::uuid[]) as device_id, unnest($6::bigint[]) as device_seq,
             unnest($7::bigint[]) as effective_at_us, unnest($8::text[]) as kind,
             unnest($9::bytea[]) as leaf_hash, unnest($10::bytea[]) as bytes) u)sql";

constexpr char kMoveHead[] =
    "update rundlet.journal_head set size = $2, updated_at = $3 where cellar_id = $1";

// The columns of JournalRecord.
constexpr char kColumns[] =
    "seq, (extract(epoch from received_at) * 1000000)::bigint as received_at_us, leaf_hash, bytes";

Hash HashFrom(const pqxx::field& field) {
  const std::string bytes = BytesFrom(field);
  Hash hash;
  if (bytes.size() != hash.size()) throw std::runtime_error("a leaf hash is not of 32 bytes");
  std::copy(bytes.begin(), bytes.end(), hash.begin());
  return hash;
}

std::vector<JournalRecord> RecordsFrom(const pqxx::result& rows) {
  std::vector<JournalRecord> records;
  records.reserve(rows.size());
  for (const pqxx::row& row : rows) {
    records.push_back({.seq = row[0].as<uint64_t>(),
                       .received_at_us = row[1].as<int64_t>(),
                       .leaf_hash = HashFrom(row[2]),
                       .bytes = BytesFrom(row[3])});
  }
  return records;
}

}  // namespace

void JournalStore::Prepare(Statements& statements) {
  statements.prepare("read_head", "select size from rundlet.journal_head where cellar_id = $1");
  statements.prepare("lock_head",
                     "select size from rundlet.journal_head where cellar_id = $1 for update");
  statements.prepare("append_journal", kAppend);
  statements.prepare("move_head", kMoveHead);
  statements.prepare(
      "read_journal",
      absl::StrCat("select ", kColumns,
                   " from (select *, sum(octet_length(bytes)) over (order by seq)",
                   " as until_here, min(seq) over () as first from (select * from rundlet.journal",
                   " where cellar_id = $1 and seq > $2 order by seq limit $3) page) summed",
                   " where until_here <= $4 or seq = first order by seq"));
  // One look by the key for each: as a condition on the table, the places may end up as a filter
  // over the whole journal.
  statements.prepare("read_these",
                     absl::StrCat("select ", kColumns,
                                  " from (select unnest($2::bigint[]) as place) wanted cross join"
                                  " lateral (select * from rundlet.journal"
                                  " where cellar_id = $1 and seq = place limit 1) j order by seq"));
  statements.prepare("read_leaf",
                     "select leaf_hash from rundlet.journal where cellar_id = $1 and seq = $2");
  statements.prepare("read_columns",
                     "select seq, entry_id, device_id, device_seq, effective_at_us, kind"
                     " from rundlet.journal where cellar_id = $1 and seq > $2 and seq <= $3"
                     " order by seq");
  statements.prepare("seq_of",
                     "select seq from rundlet.journal where cellar_id = $1 and entry_id = $2");
  statements.prepare("last_device_seq",
                     "select coalesce(max(device_seq), 0) from rundlet.journal"
                     " where cellar_id = $1 and device_id = $2");
}

absl::StatusOr<uint64_t> JournalStore::Head(const char* statement) {
  return Guard("read the head of the journal", [&]() -> absl::StatusOr<uint64_t> {
    const pqxx::result rows = tx_.work().exec_prepared(statement, tx_.cellar());
    if (rows.empty()) {
      return absl::NotFoundError(absl::StrCat("there is no cellar ", tx_.cellar(), " here"));
    }
    return rows[0][0].as<uint64_t>();
  });
}

absl::StatusOr<uint64_t> JournalStore::ReadHead() { return Head("read_head"); }

absl::StatusOr<uint64_t> JournalStore::LockHead() { return Head("lock_head"); }

absl::Status JournalStore::Append(uint64_t size, absl::Span<const NewRecord> records,
                                  absl::Time received_at) {
  PgArray entry_ids(PgType::kUuid);
  PgArray device_ids(PgType::kUuid);
  PgArray device_seqs(PgType::kInt8);
  PgArray times(PgType::kInt8);
  PgArray kinds(PgType::kText);
  PgArray leaf_hashes(PgType::kBytes);
  PgArray bytes(PgType::kBytes);
  for (const NewRecord& record : records) {
    entry_ids.AddUuid(record.entry_id);
    device_ids.AddUuid(record.device_id);
    device_seqs.AddInt(static_cast<int64_t>(record.device_seq));
    times.AddInt(record.effective_at_us);
    kinds.AddText(record.kind);
    leaf_hashes.AddBytes(HashBytes(record.leaf_hash));
    bytes.AddBytes(record.bytes);
  }
  const std::string now = TimeParameter(received_at);
  return Guard("write entries", [&] {
    tx_.work().exec_prepared("append_journal", tx_.cellar(), size, now, entry_ids.Parameter(),
                             device_ids.Parameter(), device_seqs.Parameter(), times.Parameter(),
                             kinds.Parameter(), leaf_hashes.Parameter(), bytes.Parameter());
    tx_.work().exec_prepared("move_head", tx_.cellar(), size + records.size(), now);
  });
}

absl::StatusOr<std::vector<JournalRecord>> JournalStore::Read(uint64_t after, int limit,
                                                              int64_t max_bytes) {
  return Guard("read the journal", [&] {
    // Beyond what the column holds there is nothing.
    const uint64_t from = std::min<uint64_t>(after, INT64_MAX);
    return RecordsFrom(
        tx_.work().exec_prepared("read_journal", tx_.cellar(), from, limit, max_bytes));
  });
}

absl::StatusOr<std::vector<JournalRecord>> JournalStore::ReadThese(
    absl::Span<const uint64_t> seqs) {
  PgArray numbers(PgType::kInt8);
  for (const uint64_t seq : seqs) numbers.AddInt(static_cast<int64_t>(seq));
  return Guard("read entries", [&] {
    return RecordsFrom(tx_.work().exec_prepared("read_these", tx_.cellar(), numbers.Parameter()));
  });
}

absl::StatusOr<std::optional<Hash>> JournalStore::LeafAt(uint64_t seq) {
  return Guard("read a leaf hash", [&]() -> absl::StatusOr<std::optional<Hash>> {
    const pqxx::result rows = tx_.work().exec_prepared("read_leaf", tx_.cellar(), seq);
    if (rows.empty()) return std::nullopt;
    return HashFrom(rows[0][0]);
  });
}

absl::StatusOr<std::vector<JournalColumns>> JournalStore::ReadColumns(uint64_t after,
                                                                      uint64_t upto) {
  return Guard("read the journal's columns", [&] {
    std::vector<JournalColumns> columns;
    for (const pqxx::row& row :
         tx_.work().exec_prepared("read_columns", tx_.cellar(), after, upto)) {
      columns.push_back({.seq = row[0].as<uint64_t>(),
                         .entry_id = UuidFrom(row[1]),
                         .device_id = UuidFrom(row[2]),
                         .device_seq = row[3].as<uint64_t>(),
                         .effective_at_us = row[4].as<int64_t>(),
                         .kind = row[5].c_str()});
    }
    return columns;
  });
}

absl::StatusOr<uint64_t> JournalStore::SeqOf(const Uuid& entry_id) {
  return Guard("look an entry up", [&]() -> absl::StatusOr<uint64_t> {
    const pqxx::result rows = tx_.work().exec_prepared("seq_of", tx_.cellar(), entry_id.ToString());
    if (rows.empty()) return absl::NotFoundError("the journal has no such entry");
    return rows[0][0].as<uint64_t>();
  });
}

absl::StatusOr<uint64_t> JournalStore::LastDeviceSeq(const Uuid& device_id) {
  return Guard("read a device's last entry", [&] {
    return tx_.work()
        .exec_prepared1("last_device_seq", tx_.cellar(), device_id.ToString())[0]
        .as<uint64_t>();
  });
}

}  // namespace rundlet::server
