#ifndef RUNDLET_SERVER_CELLAR_LOADED_CELLAR_H_
#define RUNDLET_SERVER_CELLAR_LOADED_CELLAR_H_

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "absl/container/flat_hash_set.h"
#include "absl/status/status.h"
#include "absl/types/span.h"
#include "core/evidence/tiles.h"
#include "core/fold/fold.h"
#include "server/cellar/device_chains.h"
#include "server/cellar/period_guard.h"
#include "server/store/journal_store.h"

namespace rundlet::server {

// A cellar's journal in memory: its fold, and what is needed to judge new entries. Entries are
// taken in in the order of the journal without gaps, so that row r of the fold is entry r + 1 of
// the journal.
//
// Not thread-safe, like the fold.
class LoadedCellar {
 public:
  // How many entries of the journal are in it.
  uint64_t size() const { return chains_.size(); }
  static uint64_t SeqOf(RowId row) { return uint64_t{row} + 1; }

  const Fold& fold() const { return fold_; }
  const DeviceChains& chains() const { return chains_; }
  // Whether the journal says by which key a device signs.
  bool IsEnrolled(const Uuid& device) const { return enrolled_.contains(device); }
  const PeriodGuard& periods() const { return periods_; }

  // Takes in entries that the journal has, and folds when `settle` is called.
  //
  // DataLoss: a record is not what it was when it was written. FailedPrecondition: one is of a kind
  // that this build does not know, so that nothing may be folded or written by it. After an error
  // the object is of no more use.
  absl::Status Load(absl::Span<const JournalRecord> records);

  // Takes in an entry that is about to be written; see DeviceChains::Check.
  void Insert(const v1::Entry& entry, const Hash& leaf_hash);
  void Settle();

  // From now on the fold notes what it changes.
  void TrackChanges();
  Fold::Changes TakeChanges() { return fold_.TakeChanges(); }

  // The tiles of the tree over the journal that inserted entries finished since the last call.
  std::vector<evidence::Tile> TakeTiles() { return std::exchange(tiles_, {}); }
  // Whether loaded entries finished tiles since the last call. They are not kept: the database has
  // them, unless it is older than they are.
  bool TakeTilesWereLoaded() { return std::exchange(tiles_were_loaded_, false); }
  // All tiles that are finished, cut anew.
  std::vector<evidence::Tile> AllTiles() const;
  // About what it costs in memory.
  size_t bytes() const;

 private:
  Fold fold_;
  DeviceChains chains_;
  absl::flat_hash_set<Uuid> enrolled_;
  PeriodGuard periods_;
  evidence::TileCutter tree_;
  std::vector<evidence::Tile> tiles_;
  bool tiles_were_loaded_ = false;
  Sha256 sha_;
  bool tracking_ = false;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_LOADED_CELLAR_H_
