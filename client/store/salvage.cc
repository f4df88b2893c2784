#include "client/store/salvage.h"

#include <unistd.h>

#include <cerrno>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/store/db.h"
#include "client/store/last_saved.h"
#include "client/store/page_scan.h"
#include "client/store/schema.h"
#include "client/store/store.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

using Type = ScannedColumn::Type;
using Columns = absl::Span<const ScannedColumn>;

struct Found {
  std::string id, bytes, state, reason, message;
  Hash hash = {};
  int64_t device_seq = 0;  // 0: another device's
};

struct FoundDevice {
  Device device;
  int64_t chain_seq = 0;
  std::string chain_hash = std::string(32, '\0');
  int64_t needed_seq = 0;
};

bool IsBlob(const ScannedColumn& column, size_t size) {
  return column.type == Type::kBlob && column.bytes.size() == size;
}

Uuid IdOf(const std::string& bytes) { return Uuid::FromBytes(bytes).value_or(Uuid()); }

// What is whole in the damaged file. Copies of one entry in several states: whatever was recorded
// once stays so, as the sync that follows finds out by itself what the server does not have.
class Salvager {
 public:
  void Look(Columns columns) {
    // Rows of a book of version 1 have no received_at_us.
    if ((columns.size() == 9 || columns.size() == 10) && IsBlob(columns[1], 16) &&
        IsBlob(columns[3], 32))
      LookAtEntry(columns);
    if (columns.size() == 12 && IsBlob(columns[1], 16) && IsBlob(columns[2], 16) &&
        IsBlob(columns[3], 16) && IsBlob(columns[10], 32)) {
      LookAtDevice(columns);
    }
  }

  // Whose book it was, from its own row, else from an entry that was written here.
  std::optional<FoundDevice> WhoseBook() const {
    if (device_.has_value()) return device_;
    for (const auto& [key, found] : entries_) {
      if (found.device_seq == 0) continue;
      v1::Entry entry;
      if (!entry.ParseFromString(found.bytes)) continue;
      FoundDevice device;
      device.device.cellar_id = IdOf(entry.cellar_id());
      device.device.member_id = IdOf(entry.author_id());
      device.device.device_id = IdOf(entry.device_id());
      return device;
    }
    return std::nullopt;
  }
  bool device_known() const { return device_.has_value(); }

  std::vector<Found> InOrder() const {
    std::vector<Found> entries;
    for (const auto& [key, found] : entries_) entries.push_back(found);
    return entries;
  }

 private:
  void LookAtEntry(Columns columns) {
    Found found{.id = columns[1].bytes,
                .bytes = columns[2].bytes,
                .state = columns[6].bytes,
                .reason = columns[7].bytes,
                .message = columns[8].bytes};
    found.hash = LeafHash(sha_, found.bytes);
    if (HashBytes(found.hash) != columns[3].bytes) return;
    v1::Entry entry;
    if (!entry.ParseFromString(found.bytes) || entry.entry_id() != found.id) return;
    if (columns[4].type == Type::kInteger) found.device_seq = columns[4].integer;
    if (found.device_seq != 0 && static_cast<uint64_t>(found.device_seq) != entry.device_seq())
      return;
    if (found.device_seq == 0 || (found.state != "returned" && found.state != "outbox"))
      found.state = "recorded";
    if (found.state == "returned" && found.reason.empty()) found.reason = "UNKNOWN";
    // The order of ids is that of writing.
    const auto [it, fresh] = entries_.try_emplace({found.id, found.bytes}, found);
    if (!fresh && it->second.state == "outbox") it->second = found;
  }

  void LookAtDevice(Columns columns) {
    FoundDevice found;
    found.device = {.cellar_id = IdOf(columns[1].bytes),
                    .member_id = IdOf(columns[2].bytes),
                    .device_id = IdOf(columns[3].bytes),
                    .cellar_name = columns[4].bytes,
                    .member_name = columns[5].bytes,
                    .device_name = columns[6].bytes,
                    .role = columns[7].bytes,
                    .server = columns[8].bytes};
    found.chain_seq = columns[9].integer;
    found.chain_hash = columns[10].bytes;
    found.needed_seq = columns[11].integer;
    if (!device_.has_value() || device_->chain_seq <= found.chain_seq) device_ = found;
  }

  Sha256 sha_;
  std::map<std::pair<std::string, std::string>, Found> entries_;
  std::optional<FoundDevice> device_;
};

absl::Status InsertEntries(Db& db, const std::vector<Found>& entries, FoundDevice& device,
                           Salvaged& salvaged) {
  Query insert(
      db,
      "INSERT OR IGNORE INTO entry (entry_id, bytes, hash, device_seq, state, reason, message) "
      "VALUES (?, ?, ?, nullif(?, 0), ?, nullif(?, ''), nullif(?, ''))");
  for (const Found& found : entries) {
    const bool returned = found.state == "returned";
    insert.Bind(found.id)
        .Bind(found.bytes)
        .Bind(HashBytes(found.hash))
        .Bind(found.device_seq)
        .BindText(found.state);
    insert.BindText(returned ? found.reason : "").BindText(returned ? found.message : "");
    if (absl::Status status = insert.Run(); !status.ok()) return status;
    if (db.changes() == 0) continue;
    ++(returned                  ? salvaged.returned
       : found.state == "outbox" ? salvaged.outbox
                                 : salvaged.recorded);
    if (found.device_seq > device.chain_seq) {
      device.chain_seq = found.device_seq;
      device.chain_hash = std::string(HashBytes(found.hash));
    }
  }
  return absl::OkStatus();
}

absl::Status Build(const std::string& path, const std::vector<Found>& entries, FoundDevice device,
                   Salvaged& salvaged) {
  auto db = Db::Open(path, /*create=*/true);
  if (!db.ok()) return db.status();
  auto transaction = Transaction::Begin(*db);
  if (!transaction.ok()) return transaction.status();
  if (absl::Status status = MakeTables(*db); !status.ok()) return status;
  if (absl::Status status = InsertEntries(*db, entries, device, salvaged); !status.ok())
    return status;
  Query insert(
      *db,
      "INSERT INTO device (only, cellar_id, member_id, device_id, cellar_name, member_name, "
      "device_name, role, "
      "server, chain_seq, chain_hash, needed_seq) VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  const Device& who = device.device;
  insert.Bind(who.cellar_id.bytes()).Bind(who.member_id.bytes()).Bind(who.device_id.bytes());
  insert.BindText(who.cellar_name)
      .BindText(who.member_name)
      .BindText(who.device_name)
      .BindText(who.role);
  insert.BindText(who.server)
      .Bind(device.chain_seq)
      .Bind(device.chain_hash)
      .Bind(device.needed_seq);
  if (absl::Status status = insert.Run(); !status.ok()) return status;
  // The next sync matches everything with the server's journal.
  if (absl::Status s = db->Exec("INSERT INTO meta (name, value) VALUES ('refetching', 1)"); !s.ok())
    return s;
  if (absl::Status s = db->Exec(absl::StrCat("PRAGMA user_version=", kSchemaVersion)); !s.ok())
    return s;
  if (absl::Status s = transaction->Commit(); !s.ok()) return s;
  return db->Exec("PRAGMA journal_mode=DELETE");  // all of it in the one file, which is moved next
}

absl::Status Rename(const std::string& from, const std::string& to) {
  if (rename(from.c_str(), to.c_str()) == 0 || errno == ENOENT) return absl::OkStatus();
  return ErrnoStatus("move", from, errno);
}

}  // namespace

namespace {

// Puts the repaired book in the damaged one's place. A kill on the way leaves the repaired one to
// be found by the next repair, which goes on here.
absl::Status PutInPlace(const StoreHome& home, const std::string& kept_as) {
  // The old log goes with the old file: laid over the new one it would damage that.
  if (absl::Status s = Rename(home.database(), kept_as); !s.ok()) return s;
  if (absl::Status s = Rename(home.database() + "-wal", kept_as + "-wal"); !s.ok()) return s;
  if (absl::Status s = RemoveFile(home.database() + "-shm"); !s.ok()) return s;
  if (absl::Status s = RemoveFile(home.snapshot()); !s.ok()) return s;
  if (absl::Status s = ForgetLastSaved(home); !s.ok()) return s;
  if (absl::Status s = Rename(home.salvaged(), home.database()); !s.ok()) return s;
  return SyncDir(home.dir());
}

}  // namespace

absl::StatusOr<Salvaged> SalvageStore(const StoreHome& home, int64_t now_us) {
  Salvaged salvaged{.kept_as = absl::StrCat(home.database(), ".damaged-", now_us / 1'000'000),
                    .device_known = true};
  if (FileExists(home.salvaged())) {  // an earlier repair was cut off when its work was done
    if (absl::Status s = PutInPlace(home, salvaged.kept_as); !s.ok()) return s;
    return salvaged;
  }
  const auto file = ReadFile(home.database());
  if (!file.ok() && !absl::IsNotFound(file.status())) return file.status();
  const auto wal = ReadFile(home.database() + "-wal");
  Salvager salvager;
  ScanRows(file.ok() ? *file : "", wal.ok() ? *wal : "",
           [&](int64_t, Columns columns) { salvager.Look(columns); });
  const auto device = salvager.WhoseBook();
  if (!device.has_value()) {
    return absl::FailedPreconditionError(absl::StrCat("nothing in ", home.database(),
                                                      " can be saved. Move ", home.dir(),
                                                      " away and join again"));
  }
  salvaged.device_known = salvager.device_known();
  const std::string draft = home.database() + ".salvaging";
  for (const char* suffix : {"", "-wal", "-shm", "-journal"}) {
    if (absl::Status status = RemoveFile(draft + suffix); !status.ok()) return status;
  }
  if (absl::Status s = Build(draft, salvager.InOrder(), *device, salvaged); !s.ok()) return s;
  if (absl::Status s = Rename(draft, home.salvaged()); !s.ok()) return s;
  if (absl::Status s = SyncDir(home.dir()); !s.ok()) return s;
  if (absl::Status s = PutInPlace(home, salvaged.kept_as); !s.ok()) return s;
  return salvaged;
}

}  // namespace rundlet::client
