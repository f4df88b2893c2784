#include "client/cellar/cellar.h"

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/view/log_line.h"

namespace rundlet::client {

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

absl::StatusOr<Cellar> OpenCellar(const StoreHome& home) {
  auto store = Store::Open(home);
  if (!store.ok()) return store.status();
  Cellar cellar{.store = *std::move(store), .fold = std::make_unique<Fold>(), .damage = {}};
  const absl::Status status = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
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
    cellar.fold->Insert(*entry);
    return absl::OkStatus();
  });
  // What lies before the damage is no cellar to go on from: half a book misleads.
  if (!status.ok()) return status;
  cellar.fold->Settle();
  return cellar;
}

}  // namespace rundlet::client
