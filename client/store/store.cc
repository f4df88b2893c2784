#include "client/store/store.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/store/last_saved.h"
#include "client/store/log_check.h"
#include "client/store/schema.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

absl::string_view MetaName(MetaKey key) {
  switch (key) {
    case MetaKey::kLastSeq:
      return "last_seq";
    case MetaKey::kJournalSize:
      return "journal_size";
    case MetaKey::kLastSyncUs:
      return "last_sync_us";
    case MetaKey::kOwnClockUs:
      return "own_clock_us";
    case MetaKey::kServerClockUs:
      return "server_clock_us";
    case MetaKey::kSealedUpTo:
      return "sealed_up_to";
    case MetaKey::kRefetching:
      return "refetching";
    case MetaKey::kGeneration:
      return "generation";
  }
  return "";
}

absl::Status NotJoined() {
  return absl::NotFoundError(
      "there is no cellar here yet: rundlet join, or for one of your own, without a "
      "server: rundlet init CELLAR --member YOUR-NAME");
}

absl::StatusOr<int64_t> UserVersion(Db& db) {
  Query query(db, "PRAGMA user_version");
  const int64_t version = query.Next() ? query.Int(0) : 0;
  if (!query.status().ok()) return query.status();
  return version;
}

Hash HashOf(const std::string& bytes) {
  Hash hash = {};
  std::copy_n(bytes.begin(), std::min(bytes.size(), hash.size()), hash.begin());
  return hash;
}

Uuid IdOf(const std::string& bytes) { return Uuid::FromBytes(bytes).value_or(Uuid()); }

EntryState StateOf(absl::string_view word) {
  if (word == "recorded") return EntryState::kRecorded;
  return word == "returned" ? EntryState::kReturned : EntryState::kOutbox;
}

void BindDevice(Query& query, const Device& device) {
  query.Bind(device.cellar_id.bytes())
      .Bind(device.member_id.bytes())
      .Bind(device.device_id.bytes())
      .BindText(device.cellar_name)
      .BindText(device.member_name)
      .BindText(device.device_name)
      .BindText(device.role)
      .BindText(device.server);
}

// DataLoss: an entry that was saved here is not in the file any more (last_saved.h).
absl::Status CheckNoneIsGone(Store& store) {
  // Read first: an entry that another process saves meanwhile is in the book, then.
  const uint64_t saved = ReadLastSaved(store.home(), store.device().device_id);
  Query query(store.db(), "SELECT chain_seq FROM device");
  if (!query.Next()) return query.status();
  const auto there = static_cast<uint64_t>(query.Int(0));
  if (saved <= there) return absl::OkStatus();
  return absl::DataLossError(absl::StrCat(
      store.home().database(), " ends with this device's entry ", there, ", and entry ", saved,
      " was saved in it: the disk has lost its end, or an older copy was put back. "
      "What is whole can be saved with: rundlet repair"));
}

}  // namespace

StoredEntry ReadStoredEntry(const Query& query, Sha256& sha) {
  StoredEntry entry;
  entry.local_no = query.Int(0);
  entry.id = IdOf(query.Bytes(1));
  entry.bytes = query.Bytes(2);
  entry.hash = HashOf(query.Bytes(3));
  entry.state = StateOf(query.Bytes(4));
  entry.device_seq = static_cast<uint64_t>(query.Int(5));
  entry.seq = static_cast<uint64_t>(query.Int(6));
  entry.reason = query.Bytes(7);
  entry.message = query.Bytes(8);
  entry.received_at_us = query.Int(9);
  entry.whole = LeafHash(sha, entry.bytes) == entry.hash;
  return entry;
}

absl::Status MakeTables(Db& db) {
  if (absl::Status status = db.Exec(kSchema); !status.ok()) return status;
  return db.Exec(kSealSchema);
}

absl::StatusOr<Store> Store::Create(const StoreHome& home, const Device& device,
                                    uint64_t needed_seq) {
  if (absl::Status status = MakePrivateDirs(home.dir()); !status.ok()) return status;
  auto db = Db::Open(home.database(), /*create=*/true);
  if (!db.ok()) return db.status();
  // Tables and device in one transaction: killed before its end, there is no store at all.
  auto transaction = Transaction::Begin(*db);
  if (!transaction.ok()) return transaction.status();
  const auto version = UserVersion(*db);
  if (!version.ok()) return version.status();
  if (*version != 0) {
    return absl::AlreadyExistsError(
        absl::StrCat("this device has joined a cellar already; its book is in ", home.dir()));
  }
  if (absl::Status status = MakeTables(*db); !status.ok()) return status;
  if (absl::Status status = RemoveFile(home.snapshot()); !status.ok()) return status;
  // A book that is begun anew has nothing of what an earlier one in this place had.
  if (absl::Status status = ForgetLastSaved(home); !status.ok()) return status;
  Query insert(*db,
               "INSERT INTO device (only, cellar_id, member_id, device_id, cellar_name, "
               "member_name, device_name, role, "
               "server, needed_seq, chain_seq, chain_hash) VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, ?, "
               "0, zeroblob(32))");
  BindDevice(insert, device);
  if (absl::Status status = insert.Bind(static_cast<int64_t>(needed_seq)).Run(); !status.ok())
    return status;
  if (absl::Status status = db->Exec(absl::StrCat("PRAGMA user_version=", kSchemaVersion));
      !status.ok())
    return status;
  if (absl::Status status = transaction->Commit(); !status.ok()) return status;
  if (absl::Status status = SyncDir(home.dir()); !status.ok()) return status;
  Store store(home, *std::move(db));
  store.device_ = device;
  return store;
}

absl::StatusOr<Store> Store::Open(const StoreHome& home) {
  auto db = Db::Open(home.database(), /*create=*/false);
  if (absl::IsNotFound(db.status())) {
    if (absl::Status seen = LookForFile(home.database()); !absl::IsNotFound(seen) && !seen.ok())
      return absl::Status(seen.code(), absl::StrCat(seen.message(),
                                                    ": is RUNDLET_HOME the right directory, and "
                                                    "may this user read it?"));
    if (FileExists(home.salvaged())) {
      return absl::DataLossError(
          absl::StrCat(home.database(), " is half repaired: finish it with: rundlet repair"));
    }
    if (!FileExists(home.token())) return NotJoined();
    return absl::DataLossError(absl::StrCat(
        home.database(), " is gone: put it back from a backup, or ask a cellar master ",
        "for an invitation and join again"));
  }
  if (!db.ok()) return db.status();
  const auto version = UserVersion(*db);
  if (!version.ok()) return version.status();
  // Only a newer one knows what stands in such a book, and whether it is whole; but no version has
  // such a number as damage makes.
  if (*version > kSchemaVersion && *version < 1000) {
    return absl::FailedPreconditionError(
        absl::StrCat(home.database(), " was written by a newer Rundlet: upgrade this one"));
  }
  if (absl::Status status = CheckLog(*db); !status.ok()) return status;
  if (*version == 0) {
    // Joining writes the token after the tables: with a token there were some.
    if (!FileExists(home.token())) return NotJoined();
    return absl::DataLossError(absl::StrCat(
        home.database(), " is empty, and was not; what is left can be saved with: rundlet repair"));
  }
  if (*version < 0 || *version > kSchemaVersion) {
    return absl::DataLossError(
        absl::StrCat(home.database(), " is damaged: it says that it is of version ", *version,
                     ". What is whole in it can be saved with: rundlet repair"));
  }
  Store store(home, *std::move(db));
  if (absl::Status status = store.Upgrade(*version); !status.ok()) return status;
  if (absl::Status status = store.ReadDevice(); !status.ok()) return status;
  if (absl::Status status = CheckNoneIsGone(store); !status.ok()) return status;
  return store;
}

absl::Status Store::Upgrade(int64_t version) {
  if (version == kSchemaVersion) return absl::OkStatus();
  auto transaction = Transaction::Begin(db_);
  if (!transaction.ok()) return transaction.status();
  // Another process may have done it meanwhile.
  const auto now = UserVersion(db_);
  if (!now.ok() || *now == kSchemaVersion) return now.status();
  if (absl::Status s = db_.Exec("ALTER TABLE entry ADD COLUMN received_at_us INTEGER"); !s.ok())
    return s;
  if (absl::Status s = db_.Exec(kSealSchema); !s.ok()) return s;
  // What was fetched without its signatures is fetched again with them (SyncStore::BeginRefetch).
  if (absl::Status s = db_.Exec("UPDATE entry SET seq = NULL WHERE seq IS NOT NULL"); !s.ok())
    return s;
  for (const MetaKey key : {MetaKey::kLastSeq, MetaKey::kSealedUpTo}) {
    if (absl::Status s = Set(key, 0); !s.ok()) return s;
  }
  if (absl::Status s = Set(MetaKey::kRefetching, 1); !s.ok()) return s;
  if (absl::Status s = db_.Exec(absl::StrCat("PRAGMA user_version=", kSchemaVersion)); !s.ok())
    return s;
  return transaction->Commit();
}

absl::Status Store::ReadDevice() {
  Query query(db_,
              "SELECT cellar_id, member_id, device_id, cellar_name, member_name, device_name, "
              "role, server FROM device");
  if (!query.Next()) {
    if (!query.status().ok()) return query.status();
    return absl::DataLossError(
        absl::StrCat(home_.database(), " does not say whose it is: rundlet repair"));
  }
  device_ = {.cellar_id = IdOf(query.Bytes(0)),
             .member_id = IdOf(query.Bytes(1)),
             .device_id = IdOf(query.Bytes(2)),
             .cellar_name = query.Bytes(3),
             .member_name = query.Bytes(4),
             .device_name = query.Bytes(5),
             .role = query.Bytes(6),
             .server = query.Bytes(7)};
  return absl::OkStatus();
}

absl::Status Store::UpdateDevice(const Device& device, uint64_t needed_seq) {
  Query update(db_,
               "UPDATE device SET cellar_id = ?, member_id = ?, device_id = ?, cellar_name = ?, "
               "member_name = ?, "
               "device_name = ?, role = ?, server = ?, needed_seq = max(needed_seq, ?)");
  BindDevice(update, device);
  if (absl::Status status = update.Bind(static_cast<int64_t>(needed_seq)).Run(); !status.ok())
    return status;
  device_ = device;
  return absl::OkStatus();
}

absl::StatusOr<ChainHead> Store::Head() {
  Query query(db_, "SELECT chain_seq, chain_hash, needed_seq FROM device");
  if (!query.Next())
    return query.status().ok() ? absl::DataLossError("the store has lost its device")
                               : query.status();
  const ChainHead head{.device_seq = static_cast<uint64_t>(query.Int(0)),
                       .hash = HashOf(query.Bytes(1))};
  if (query.Int(0) < query.Int(2)) {
    return absl::FailedPreconditionError(
        "the server has entries of this device that are not here yet; fetch them first: rundlet "
        "sync");
  }
  return head;
}

absl::Status Store::Append(absl::Span<const WrittenEntry> entries, const ChainHead& before) {
  if (entries.empty()) return absl::OkStatus();
  auto transaction = Transaction::Begin(db_);
  if (!transaction.ok()) return transaction.status();
  const auto head = Head();
  if (!head.ok()) return head.status();
  if (head->device_seq != before.device_seq || head->hash != before.hash) {
    return absl::AbortedError(
        "something else was entered on this device at the same moment: try again");
  }
  Query insert(
      db_,
      "INSERT INTO entry (entry_id, bytes, hash, device_seq, state) VALUES (?, ?, ?, ?, 'outbox')");
  for (const WrittenEntry& entry : entries) {
    insert.Bind(entry.entry.entry_id())
        .Bind(entry.bytes)
        .Bind(HashBytes(entry.hash))
        .Bind(static_cast<int64_t>(entry.entry.device_seq()));
    if (absl::Status status = insert.Run(); !status.ok()) return status;
  }
  Query move(db_, "UPDATE device SET chain_seq = ?, chain_hash = ?");
  const WrittenEntry& last = entries.back();
  move.Bind(static_cast<int64_t>(last.entry.device_seq())).Bind(HashBytes(last.hash));
  if (absl::Status status = move.Run(); !status.ok()) return status;
  if (absl::Status status = transaction->Commit(); !status.ok()) return status;
  WriteLastSaved(home_, device_.device_id, last.entry.device_seq());
  return absl::OkStatus();
}

absl::Status Store::ForEach(int64_t after_local_no,
                            absl::FunctionRef<absl::Status(const StoredEntry&)> visit) {
  Query query(db_, absl::StrCat("SELECT ", kEntryColumns,
                                " FROM entry WHERE local_no > ? ORDER BY local_no"));
  query.Bind(after_local_no);
  while (query.Next()) {
    if (absl::Status status = visit(ReadStoredEntry(query, sha_)); !status.ok()) return status;
  }
  return query.status();
}

absl::StatusOr<StoredEntry> Store::Find(const Uuid& id) {
  for (const char* which : {"state <> 'returned'", "state = 'returned'"}) {
    Query query(
        db_, absl::StrCat("SELECT ", kEntryColumns, " FROM entry WHERE entry_id = ? AND ", which));
    query.Bind(id.bytes());
    if (query.Next()) return ReadStoredEntry(query, sha_);
    if (!query.status().ok()) return query.status();
  }
  return absl::NotFoundError(absl::StrCat("there is no entry ", id.ToString(), " here"));
}

absl::StatusOr<std::vector<StoredEntry>> Store::Returned() {
  Query query(db_, absl::StrCat("SELECT ", kEntryColumns,
                                " FROM entry WHERE state = 'returned' ORDER BY local_no"));
  std::vector<StoredEntry> returned;
  while (query.Next()) returned.push_back(ReadStoredEntry(query, sha_));
  if (!query.status().ok()) return query.status();
  return returned;
}

absl::Status Store::Drop(int64_t local_no) {
  Query drop(db_, "UPDATE entry SET reason = ? WHERE local_no = ? AND state = 'returned'");
  return drop.Bind(absl::string_view(kDropped)).Bind(local_no).Run();
}

absl::StatusOr<StoreCounts> Store::Count() {
  Query query(db_,
              "SELECT count(*) FILTER (WHERE state = 'outbox'), count(*) FILTER (WHERE state = "
              "'recorded'), "
              "count(*) FILTER (WHERE state = 'returned'), "
              "count(*) FILTER (WHERE state = 'recorded' AND seq IS NULL) FROM entry");
  StoreCounts counts;
  if (query.Next()) {
    counts = {.outbox = query.Int(0),
              .recorded = query.Int(1),
              .returned = query.Int(2),
              .unplaced = query.Int(3)};
  }
  if (!query.status().ok()) return query.status();
  return counts;
}

absl::StatusOr<int64_t> Store::Get(MetaKey key) {
  Query query(db_, "SELECT value FROM meta WHERE name = ?");
  const int64_t value = query.BindText(MetaName(key)).Next() ? query.Int(0) : 0;
  if (!query.status().ok()) return query.status();
  return value;
}

absl::Status Store::Set(MetaKey key, int64_t value) {
  Query query(db_,
              "INSERT INTO meta (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value "
              "= excluded.value");
  return query.BindText(MetaName(key)).Bind(value).Run();
}

}  // namespace rundlet::client
