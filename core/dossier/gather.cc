#include "core/dossier/gather.h"

#include <algorithm>
#include <string>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"
#include "core/entry/named_ids.h"
#include "core/lineage/walk.h"
#include "core/reports/names.h"
#include "core/view/log_line.h"
#include "core/view/named.h"

namespace rundlet::dossier {
namespace {

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

Uuid TargetOf(const v1::Entry& entry) {
  return IdOf(entry.has_void_() ? entry.void_().target_id() : entry.amendment().target_id());
}

class Gatherer {
 public:
  Gatherer(const Fold& fold, EntryOf entry_of)
      : fold_(fold), sequence_(fold.sequence()), entry_of_(entry_of) {}

  absl::Status Prepare();
  void TakeLineage(Handle lot);
  // What has no effect, and names a vessel while it held wine of the lineage.
  void TakeWithoutEffect(const absl::flat_hash_set<ParcelId>& lineage);
  // Everything that what is there leads to, until nothing is added any more.
  absl::Status Follow();

  std::vector<RowId> Rows() const {
    std::vector<RowId> rows(taken_.begin(), taken_.end());
    std::sort(rows.begin(), rows.end());
    return rows;
  }

 private:
  void Take(RowId row) {
    if (row != kNone && taken_.insert(row).second) waiting_.push_back(row);
  }
  template <typename Key>
  void TakeAll(const absl::flat_hash_map<Key, std::vector<RowId>>& index, const Key& key) {
    const auto it = index.find(key);
    if (it == index.end()) return;
    for (const RowId row : it->second) Take(row);
  }
  void TakeAbout(Handle thing) {
    for (const size_t position : PositionsAbout(fold_, thing)) Take(sequence_.at(position));
  }
  absl::Status FollowOne(RowId row);

  const Fold& fold_;
  const Sequence& sequence_;
  const EntryOf entry_of_;
  absl::flat_hash_set<RowId> taken_;
  std::vector<RowId> waiting_;
  // Where to go on from what is there.
  absl::flat_hash_map<Handle, std::vector<RowId>> sayings_;           // by thing
  absl::flat_hash_map<RowId, std::vector<RowId>> corrections_;        // by what they void or amend
  absl::flat_hash_map<Handle, std::vector<RowId>> enrolments_;        // by device
  absl::flat_hash_map<std::string, std::vector<RowId>> invitations_;  // by key
};

absl::Status Gatherer::Prepare() {
  for (RowId row = 0; row < sequence_.rows(); ++row) {
    const Row& at = sequence_.row(row);
    if (at.kind == ActKind::kSettings) Take(row);
    if (const Handle subject = fold_.DirectorySubject(row); subject != kNoHandle)
      sayings_[subject].push_back(row);
    if (at.kind != ActKind::kVoid && !at.amends) continue;
    const auto entry = entry_of_(row);
    if (!entry.ok()) return entry.status();
    if (const RowId target = sequence_.Find(TargetOf(*entry)); target != kNone)
      corrections_[target].push_back(row);
  }
  for (const auto& [row, entry] : fold_.records().all()) {
    if (entry.has_device_enrolled()) enrolments_[sequence_.row(row).device].push_back(row);
    if (entry.has_invited()) invitations_[entry.invited().invitation_key()].push_back(row);
  }
  return absl::OkStatus();
}

void Gatherer::TakeLineage(Handle lot) {
  TakeAbout(lot);
  fold_.directory().ForEach(v1::Thing::kBottling, [&](Handle run, const Directory::Known&) {
    if (reports::LotOfBottling(fold_, run) == lot) TakeAbout(run);
  });
  const State& state = fold_.state();
  std::vector<ParcelId> parcels;
  for (size_t i = 0; i < state.parcels().size(); ++i) {
    if (state.parcels()[i].lot == lot) parcels.push_back(static_cast<ParcelId>(i));
  }
  absl::flat_hash_set<ParcelId> lineage(parcels.begin(), parcels.end());
  for (const size_t index : WalkBack(state, parcels)) {
    const Movement& movement = state.movements()[index];
    Take(movement.row);
    if (movement.from_parcel != kNone) lineage.insert(movement.from_parcel);
    if (movement.to_parcel != kNone) lineage.insert(movement.to_parcel);
  }
  for (const size_t index : WalkForward(state, parcels, {}).movements)
    Take(state.movements()[index].row);
  for (size_t i = 0; i < state.facts().size(); ++i) {
    const Fact& fact = state.facts()[i];
    if (fact.parcel != kNone && lineage.contains(fact.parcel)) Take(fact.row);
  }
  TakeWithoutEffect(lineage);
}

// One pass over the order, beside the parcels, which arose in it.
void Gatherer::TakeWithoutEffect(const absl::flat_hash_set<ParcelId>& lineage) {
  const State& state = fold_.state();
  absl::flat_hash_map<Handle, bool> holds_it;  // by vessel
  size_t parcel = 0;
  for (size_t position = 0; position < sequence_.size(); ++position) {
    const RowId row = sequence_.at(position);
    if (sequence_.row(row).standing != Row::Standing::kCounts ||
        fold_.HeldAt(position) != nullptr) {
      ForEachNamed(fold_, row, [&](Handle thing) {
        const auto held = holds_it.find(thing);
        if (held != holds_it.end() && held->second) Take(row);
      });
    }
    for (; parcel < state.parcels().size() && state.parcels()[parcel].row == row; ++parcel)
      holds_it[state.parcels()[parcel].place] = lineage.contains(static_cast<ParcelId>(parcel));
  }
}

absl::Status Gatherer::FollowOne(RowId row) {
  const auto entry = entry_of_(row);
  if (!entry.ok()) return entry.status();
  ForEachNamedId(*entry, [this](const Uuid& id) {
    if (const Handle thing = fold_.interner().Find(id); thing != kNoHandle)
      TakeAll(sayings_, thing);
  });
  TakeAll(corrections_, row);
  Take(sequence_.Find(TargetOf(*entry)));
  Take(sequence_.row(row).voided_by);
  TakeAll(enrolments_, sequence_.row(row).device);
  if (entry->has_device_enrolled())
    TakeAll(invitations_, entry->device_enrolled().invitation_key());
  return absl::OkStatus();
}

absl::Status Gatherer::Follow() {
  while (!waiting_.empty()) {
    const RowId row = waiting_.back();
    waiting_.pop_back();
    if (absl::Status status = FollowOne(row); !status.ok()) return status;
  }
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<std::vector<RowId>> GatherRows(const Fold& fold, Handle lot, EntryOf entry_of) {
  Gatherer gatherer(fold, entry_of);
  if (absl::Status status = gatherer.Prepare(); !status.ok()) return status;
  gatherer.TakeLineage(lot);
  if (absl::Status status = gatherer.Follow(); !status.ok()) return status;
  return gatherer.Rows();
}

}  // namespace rundlet::dossier
