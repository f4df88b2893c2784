#ifndef RUNDLET_CORE_FOLD_FOLD_H_
#define RUNDLET_CORE_FOLD_FOLD_H_

#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"
#include "core/fold/applier.h"
#include "core/fold/directory.h"
#include "core/fold/records.h"
#include "core/fold/sequence.h"
#include "core/fold/state.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// A cellar: a set of entries, and what follows from it.
//
// Entries may come in any order, any number of times. After Settle the state is that of all of them
// folded in effective order, and it is the same on every device that holds the same set
// (StateDigest). An entry that belongs in the past costs the entries after it, not the history:
// what they did is undone by record, and they are folded again.
//
// No I/O, no clock, no randomness, no floating point. Not safe to share between threads without a
// lock around it; const methods may run side by side.
class Fold {
 public:
  Fold();
  Fold(const Fold&) = delete;
  Fold& operator=(const Fold&) = delete;

  // Takes an entry into the set; false if an entry of this id is in it already. The state is behind
  // until Settle. The entry has passed CheckEntry, or CheckEntry says Unimplemented of it: then it
  // is kept in its place, and nothing from there on is folded.
  bool Insert(const v1::Entry& entry) { return Insert(entry, false); }
  // The same for an entry that the caller has just written: its id is new, which spares looking it
  // up.
  void InsertNew(const v1::Entry& entry) { Insert(entry, true); }

  // Folds what was inserted. Cheap where nothing was.
  void Settle();

  // Both, for one.
  bool Add(const v1::Entry& entry) {
    const bool fresh = Insert(entry);
    Settle();
    return fresh;
  }

  const State& state() const { return state_; }
  const Directory& directory() const { return directory_; }
  const Sequence& sequence() const { return sequence_; }
  const Interner& interner() const { return interner_; }
  const Records& records() const { return records_; }
  const Commodities& commodities() const { return commodities_; }

  // The entry at which folding stopped because this build does not know its kind; kNone if all are
  // folded.
  RowId stopped_at() const;

  // What the entry at a position of the order did.
  absl::Span<const Movement> MovementsAt(size_t position) const;
  absl::Span<const Fact> FactsAt(size_t position) const;
  absl::Span<const Parcel> ParcelsAt(size_t position) const;
  // Why the entry is held; nullptr if it is not.
  const Held* HeldAt(size_t position) const;
  // The thing that a directory entry speaks of; kNoHandle for every other entry.
  Handle DirectorySubject(RowId row) const {
    const auto it = subjects_.find(row);
    return it == subjects_.end() ? kNoHandle : it->second;
  }
  // The number of the first parcel that the entry at a position made or would make.
  ParcelId FirstParcelAt(size_t position) const { return MarkAt(position).parcels; }

  // SHA-256 over the whole state in a fixed order, by ids, without anything that depends on
  // arrival. Two folds of the same set of entries have the same digest. Costs the whole state.
  Hash StateDigest() const;

  // What Settle changed since the last call of TakeChanges, for whoever keeps a copy elsewhere.
  // Only while tracked.
  struct Changes {
    std::vector<RowId> rows;      // entries whose standing, movements, parcels, facts or being held
                                  // differ now, or that are new
    std::vector<Handle> vessels;  // whose holding may differ
    std::vector<uint32_t> balances;  // indexes of State::balances that may differ
    std::vector<Handle> things;      // that may be known differently
  };
  void TrackChanges() { tracking_ = true; }
  Changes TakeChanges();

 private:
  friend class SnapshotParts;

  State::Mark MarkAt(size_t position) const {
    return position < marks_.size() ? marks_[position] : state_.Here();
  }
  bool Insert(const v1::Entry& entry, bool known_new);
  void NoteDirectoryEntry(RowId row, const v1::Entry& entry);
  // The first position at which the state is no longer right once the entries that wait are in.
  size_t FirstStale();
  void UpdateThings();
  void Rewind(size_t position);
  void FoldForward();
  void CompareFingerprints(size_t from);
  // The first position at which a folded entry names the thing, or size().
  size_t FirstNaming(Handle thing) const;
  // A number that differs when what the entry at a position did differs, in terms that do not
  // depend on arrival.
  size_t Fingerprint(size_t position) const;
  size_t ParcelFingerprint(ParcelId parcel) const;

  Interner interner_;
  Commodities commodities_;
  Sequence sequence_;
  Directory directory_;
  Records records_;
  State state_;
  Applier applier_;
  Log<State::Mark> marks_;                       // before the entry at each folded position
  absl::flat_hash_map<RowId, Handle> subjects_;  // of directory entries
  // What waits for Settle: rows whose standing changed, and things of which something else is said.
  std::vector<RowId> stale_rows_;
  std::vector<Handle> stale_things_;
  size_t settled_handles_ = 0;    // handles from here on were met since the last Settle
  size_t stale_from_ = SIZE_MAX;  // because of a thing that is known, or known differently, now

  bool tracking_ = false;
  absl::flat_hash_map<RowId, size_t> old_fingerprints_;  // of entries that were undone
  absl::flat_hash_set<RowId> changed_rows_;
  absl::flat_hash_set<Handle> changed_things_;
  State::Touched touched_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_FOLD_H_
