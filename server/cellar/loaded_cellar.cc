#include "server/cellar/loaded_cellar.h"

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"

namespace rundlet::server {
namespace {

absl::Status Damaged(const JournalRecord& record, absl::string_view reason) {
  return absl::DataLossError(absl::StrCat("entry ", record.seq, " of the journal is damaged: ",
                                          reason, "; restore the database from a backup"));
}

}  // namespace

absl::Status LoadedCellar::Load(absl::Span<const JournalRecord> records) {
  for (const JournalRecord& record : records) {
    if (record.seq != size() + 1) {
      return Damaged(record, absl::StrCat("number ", size() + 1, " should come here"));
    }
    if (LeafHash(sha_, record.bytes) != record.leaf_hash) {
      return Damaged(record, "its bytes do not give its hash");
    }
    const absl::StatusOr<v1::Entry> entry = ParseEntry(record.bytes);
    if (absl::IsUnimplemented(entry.status())) {
      return absl::FailedPreconditionError(absl::StrCat(
          "entry ", record.seq,
          " of the journal was taken in by a newer server: ", entry.status().message()));
    }
    if (!entry.ok()) return Damaged(record, entry.status().message());
    Insert(*entry, record.leaf_hash);
    if (fold_.sequence().rows() != size()) return Damaged(record, "its id stands there twice");
  }
  if (!TakeTiles().empty()) tiles_were_loaded_ = true;
  return absl::OkStatus();
}

std::vector<evidence::Tile> LoadedCellar::AllTiles() const {
  evidence::TileCutter tree;
  std::vector<evidence::Tile> tiles;
  for (RowId row = 0; row < size(); ++row) tree.Append(chains_.leaf_hash(row), tiles);
  return tiles;
}

void LoadedCellar::Insert(const v1::Entry& entry, const Hash& leaf_hash) {
  periods_.Take(static_cast<RowId>(size()), entry);
  fold_.Insert(entry);
  tree_.Append(leaf_hash, tiles_);
  const absl::StatusOr<Uuid> device_id = Uuid::FromBytes(entry.device_id());
  chains_.Add(device_id.ok() ? *device_id : Uuid(), entry.device_seq(), leaf_hash,
              entry.previous_hash());
  if (entry.has_device_enrolled() && device_id.ok()) enrolled_.insert(*device_id);
}

void LoadedCellar::Settle() {
  fold_.Settle();
  // The sequence completes its index of ids when it is next asked for one. Asked here, it does so
  // under the exclusive lock, and not in several readers at once.
  fold_.sequence().Find(Uuid());
}

void LoadedCellar::TrackChanges() {
  if (tracking_) return;
  tracking_ = true;
  fold_.TrackChanges();
}

size_t LoadedCellar::bytes() const {
  const State& state = fold_.state();
  const State::Mark mark = state.Here();
  constexpr size_t kPerEntry = sizeof(Row) + sizeof(State::Mark) + 4 * sizeof(Line) + sizeof(Hash) +
                               3 * 32;  // and three indexes
  return 16 * 1024 + kPerEntry * size() + sizeof(Movement) * mark.movements +
         sizeof(Parcel) * mark.parcels + sizeof(Share) * mark.shares + sizeof(Fact) * mark.facts +
         sizeof(Held) * mark.held + (evidence::kTileWidth + 2) * sizeof(Hash) * tiles_.size() +
         48 * mark.old_holdings + 16 * mark.old_balances;
}

}  // namespace rundlet::server
