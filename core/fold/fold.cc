#include "core/fold/fold.h"

#include <algorithm>

#include "absl/hash/hash.h"

namespace rundlet {

Fold::Fold() : sequence_(interner_, commodities_), applier_(state_, directory_) {}

bool Fold::Insert(const v1::Entry& entry, bool known_new) {
  const Sequence::Inserted inserted = sequence_.Insert(entry, known_new);
  if (!inserted.fresh) return false;
  if (tracking_) changed_rows_.insert(inserted.row);
  for (const RowId row : inserted.changed) {
    stale_rows_.push_back(row);
    if (const auto it = subjects_.find(row); it != subjects_.end())
      stale_things_.push_back(it->second);
  }
  const ActKind kind = sequence_.row(inserted.row).kind;
  if (kind == ActKind::kDirectory || kind == ActKind::kSettings)
    NoteDirectoryEntry(inserted.row, entry);
  records_.Add(inserted.row, entry);
  return true;
}

void Fold::NoteDirectoryEntry(RowId row, const v1::Entry& entry) {
  Handle subject = Directory::kSettings;
  if (const auto id = Uuid::FromBytes(Directory::SubjectId(entry)); id.ok())
    subject = interner_.Intern(*id);
  directory_.Add(row, subject, entry, sequence_);
  subjects_[row] = subject;
  stale_things_.push_back(subject);
}

void Fold::Settle() {
  UpdateThings();
  const size_t from = FirstStale();
  if (tracking_) {
    changed_rows_.insert(stale_rows_.begin(), stale_rows_.end());
    if (from < marks_.size()) state_.CollectTouched(marks_[from], touched_);
  }
  stale_rows_.clear();
  stale_from_ = SIZE_MAX;
  Rewind(from);
  sequence_.Merge();
  FoldForward();
  settled_handles_ = interner_.size();
  if (tracking_) CompareFingerprints(from);
}

void Fold::UpdateThings() {
  std::sort(stale_things_.begin(), stale_things_.end());
  stale_things_.erase(std::unique(stale_things_.begin(), stale_things_.end()), stale_things_.end());
  for (const Handle thing : stale_things_) {
    if (directory_.Update(thing, sequence_))
      stale_from_ = std::min(stale_from_, FirstNaming(thing));
  }
  if (tracking_) changed_things_.insert(stale_things_.begin(), stale_things_.end());
  stale_things_.clear();
}

size_t Fold::FirstStale() {
  size_t from = std::min({stale_from_, sequence_.FirstWaiting(), marks_.size()});
  for (const RowId row : stale_rows_) from = std::min(from, sequence_.PositionOf(row));
  return from;
}

size_t Fold::FirstNaming(Handle thing) const {
  if (thing >= settled_handles_) return sequence_.size();
  for (size_t position = 0; position < marks_.size(); ++position) {
    for (const Line& line : sequence_.lines(sequence_.row(sequence_.at(position)))) {
      if (line.handle == thing) return position;
    }
  }
  return sequence_.size();
}

void Fold::Rewind(size_t position) {
  if (position >= marks_.size()) return;
  if (tracking_) {
    for (size_t i = position; i < marks_.size(); ++i) {
      old_fingerprints_.try_emplace(sequence_.at(i), Fingerprint(i));
    }
  }
  state_.Rewind(marks_[position]);
  marks_.Truncate(position);
}

void Fold::FoldForward() {
  for (size_t position = marks_.size(); position < sequence_.size(); ++position) {
    const RowId id = sequence_.at(position);
    const Row& row = sequence_.row(id);
    if (row.kind == ActKind::kUnknown && row.standing == Row::Standing::kCounts) return;
    marks_.Append(state_.Here());
    switch (row.standing) {
      case Row::Standing::kCounts:
        applier_.Apply(id, row.kind, sequence_.lines(row));
        break;
      case Row::Standing::kVoid:
        break;
      case Row::Standing::kSuperseded:
        applier_.Hold(id, v1::HELD_REASON_OTHER_AMENDMENT);
        break;
    }
  }
}

RowId Fold::stopped_at() const {
  return marks_.size() < sequence_.size() ? sequence_.at(marks_.size()) : kNone;
}

absl::Span<const Movement> Fold::MovementsAt(size_t position) const {
  const State::Mark from = MarkAt(position);
  return state_.movements().Slice(from.movements, MarkAt(position + 1).movements - from.movements);
}

absl::Span<const Fact> Fold::FactsAt(size_t position) const {
  const State::Mark from = MarkAt(position);
  return state_.facts().Slice(from.facts, MarkAt(position + 1).facts - from.facts);
}

absl::Span<const Parcel> Fold::ParcelsAt(size_t position) const {
  const State::Mark from = MarkAt(position);
  return state_.parcels().Slice(from.parcels, MarkAt(position + 1).parcels - from.parcels);
}

const Held* Fold::HeldAt(size_t position) const {
  const State::Mark from = MarkAt(position);
  return MarkAt(position + 1).held > from.held ? &state_.held()[from.held] : nullptr;
}

size_t Fold::ParcelFingerprint(ParcelId parcel) const {
  if (parcel == kNone) return 0;
  const Parcel& p = state_.parcels()[parcel];
  return absl::HashOf(p.row, p.ordinal);
}

size_t Fold::Fingerprint(size_t position) const {
  const Row& row = sequence_.row(sequence_.at(position));
  size_t print = absl::HashOf(row.standing);
  for (const Movement& m : MovementsAt(position)) {
    print = absl::HashOf(print, m.amount, m.commodity, m.from, m.to,
                         ParcelFingerprint(m.from_parcel), ParcelFingerprint(m.to_parcel));
  }
  for (const Parcel& p : ParcelsAt(position)) {
    print = absl::HashOf(print, p.volume_ul, p.origin, p.place, p.lot);
    for (const Share& s : state_.origins(p))
      print = absl::HashOf(print, s.amount, ParcelFingerprint(s.of));
    for (const Share& s : state_.doses(p)) print = absl::HashOf(print, s.amount, s.of);
  }
  for (const Fact& f : FactsAt(position)) {
    print = absl::HashOf(print, f.value, f.subject, ParcelFingerprint(f.parcel), f.type, f.kind,
                         f.unit);
  }
  if (const Held* held = HeldAt(position); held != nullptr) {
    print =
        absl::HashOf(print, held->reason, held->subject, held->needed, held->there, held->taken_by);
  }
  return print;
}

void Fold::CompareFingerprints(size_t from) {
  for (size_t position = from; position < marks_.size(); ++position) {
    const RowId row = sequence_.at(position);
    const auto old = old_fingerprints_.find(row);
    if (old == old_fingerprints_.end()) {
      changed_rows_.insert(row);
      continue;
    }
    if (old->second != Fingerprint(position)) changed_rows_.insert(row);
    old_fingerprints_.erase(old);
  }
  // What is left was undone and not done again: it lies behind an entry of an unknown kind now.
  for (const auto& [row, print] : old_fingerprints_) changed_rows_.insert(row);
  old_fingerprints_.clear();
  if (from < marks_.size()) state_.CollectTouched(marks_[from], touched_);
}

Fold::Changes Fold::TakeChanges() {
  const auto unique = [](auto& list) {
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
  };
  unique(touched_.vessels);
  unique(touched_.balances);
  Changes changes{.rows = std::vector<RowId>(changed_rows_.begin(), changed_rows_.end()),
                  .vessels = std::move(touched_.vessels),
                  .balances = std::move(touched_.balances),
                  .things = std::vector<Handle>(changed_things_.begin(), changed_things_.end())};
  unique(changes.rows);
  unique(changes.things);
  changed_rows_.clear();
  changed_things_.clear();
  touched_ = {};
  return changes;
}

}  // namespace rundlet
