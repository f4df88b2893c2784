#include "client/cellar/cellar.h"

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

// So many entries are folded again at each start before it pays to write all that was folded.
constexpr int64_t kWorthASnapshot = 500;

// Whether the store has, at the snapshot's last local number, the entry that the snapshot ends
// with.
bool HoldsLast(Store& store, const SnapshotStamp& stamp) {
  bool holds = false;
  const absl::Status looked = store.ForEach(stamp.local_no - 1, [&](const StoredEntry& stored) {
    holds = stored.local_no == stamp.local_no && stored.whole && stored.hash == stamp.last_hash;
    return absl::CancelledError();  // the first says it all
  });
  return holds && absl::IsCancelled(looked);
}

absl::Status Take(const StoredEntry& stored, Cellar& cellar) {
  if (!stored.whole) {
    cellar.damage.push_back(
        absl::StrCat("entry ", ShortId(stored.id), " is damaged on this disk and left out"));
    return absl::OkStatus();
  }
  if (stored.state == EntryState::kReturned) return absl::OkStatus();
  const auto entry = ReadEntry(stored.bytes);
  if (!entry.ok()) {
    cellar.damage.push_back(
        absl::StrCat("entry ", ShortId(stored.id), " is left out: ", entry.status().message()));
    return absl::OkStatus();
  }
  cellar.fold->InsertNew(*entry);  // the store has each id once
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<v1::Entry> ReadEntry(absl::string_view bytes) {
  auto entry = ParseEntry(bytes);
  if (!absl::IsUnimplemented(entry.status())) return entry;
  v1::Entry newer;
  newer.ParseFromArray(bytes.data(), static_cast<int>(bytes.size()));
  return newer;
}

absl::StatusOr<v1::Entry> EntryOfRow(Cellar& cellar, RowId row) {
  const auto stored = cellar.store.Find(cellar.fold->sequence().row(row).id);
  if (!stored.ok()) return stored.status();
  return ReadEntry(stored->bytes);
}

absl::StatusOr<Cellar> OpenCellar(const StoreHome& home, Snapshot::Verify verify) {
  auto store = Store::Open(home);
  if (!store.ok()) return store.status();
  // One look at the store, whatever a sync does to it meanwhile.
  if (absl::Status status = store->db().Exec("BEGIN"); !status.ok()) return status;
  const auto generation = store->Get(MetaKey::kGeneration);
  if (!generation.ok()) return generation.status();
  Cellar cellar{
      .store = *std::move(store), .snapshot = {}, .fold = std::make_unique<Fold>(), .damage = {}};
  SnapshotStamp stamp{.generation = *generation, .local_no = 0, .last_hash = {}};
  if (auto loaded = LoadSnapshot(home.snapshot(), verify);
      loaded.ok() && loaded->stamp.generation == *generation &&
      HoldsLast(cellar.store, loaded->stamp)) {
    cellar.snapshot.emplace(std::move(loaded->mapping));
    cellar.fold = std::move(loaded->fold);
    stamp = loaded->stamp;
  }
  int64_t since_snapshot = 0;
  const absl::Status status = cellar.store.ForEach(stamp.local_no, [&](const StoredEntry& stored) {
    ++since_snapshot;
    stamp.local_no = stored.local_no;
    stamp.last_hash = stored.hash;
    return Take(stored, cellar);
  });
  // What lies before the damage is no cellar to go on from: half a book misleads.
  if (!status.ok()) return status;
  if (absl::Status ended = cellar.store.db().Exec("COMMIT"); !ended.ok()) return ended;
  cellar.fold->Settle();
  if (since_snapshot >= kWorthASnapshot && cellar.damage.empty()) {
    SaveSnapshot(*cellar.fold, stamp, home.snapshot()).IgnoreError();
  }
  return cellar;
}

}  // namespace rundlet::client
