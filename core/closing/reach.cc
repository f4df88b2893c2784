#include "core/closing/reach.h"

namespace rundlet::closing {
namespace {

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

// Whether an entry at a place, one that still may count, is dated before a time.
bool AnyBefore(const Sequence& sequence, Handle place_device, uint64_t place_seq,
               int64_t until_us) {
  for (RowId i = 0; i < sequence.rows(); ++i) {
    const Row& row = sequence.row(i);
    if (row.place_seq == place_seq && row.place_device == place_device &&
        row.standing != Row::Standing::kVoid && row.effective_at_us < until_us)
      return true;
  }
  return false;
}

// Whether a line names a thing that has to be known for the act to be done.
bool Needs(const Line& line, Handle thing) {
  switch (line.role) {
    case Role::kOutflow:
    case Role::kAccount:
    case Role::kMeasure:
    case Role::kTreatment:
    case Role::kAbout:
      return false;  // a number of another kind; or known or not
    default:
      return line.handle == thing;
  }
}

bool IsNamedBefore(const Fold& fold, Handle thing, int64_t until_us) {
  const Sequence& sequence = fold.sequence();
  for (RowId i = 0; i < sequence.rows(); ++i) {
    const Row& row = sequence.row(i);
    if (row.effective_at_us >= until_us || row.standing == Row::Standing::kVoid) continue;
    for (const Line& line : sequence.lines(row)) {
      if (Needs(line, thing)) return true;
    }
  }
  return false;
}

// Whether a registration makes something of the thing that it is not known as.
bool MakesKnown(const Fold& fold, const Reach& reach, int64_t until_us) {
  const Handle thing = fold.interner().Find(reach.thing);
  return thing != kNoHandle && fold.directory().kind(thing) != reach.kind &&
         IsNamedBefore(fold, thing, until_us);
}

}  // namespace

bool IsNamedBefore(const Fold& fold, const Uuid& thing, int64_t until_us) {
  const Handle handle = fold.interner().Find(thing);
  return handle != kNoHandle && IsNamedBefore(fold, handle, until_us);
}

bool ReachesNowhere(int body) {
  switch (body) {
    case v1::Entry::kRegistered:
    case v1::Entry::kInvited:
    case v1::Entry::kDeviceEnrolled:
    case v1::Entry::kPeriodClosed:
    case v1::Entry::kPeriodReopened:
      return true;
    default:
      return false;
  }
}

Reach ReachOf(const v1::Entry& entry) {
  Reach reach;
  if (!ReachesNowhere(entry.body_case())) reach.at_us = entry.effective_at_us();
  if (entry.has_registered()) {
    reach.thing = IdOf(entry.registered().thing_id());
    reach.kind = entry.registered().kind_case();
  }
  if (entry.has_void_()) reach.target = IdOf(entry.void_().target_id());
  if (entry.has_amendment()) {
    reach.target = IdOf(entry.amendment().target_id());
    reach.place_device = IdOf(entry.amendment().place_device_id());
    reach.place_seq = entry.amendment().place_device_seq();
  }
  return reach;
}

bool Changes(const Fold& fold, const Reach& reach, int64_t until_us) {
  if (reach.at_us < until_us) return true;
  if (reach.registers() && MakesKnown(fold, reach, until_us)) return true;
  if (!reach.reaches_others()) return false;
  const Sequence& sequence = fold.sequence();
  if (const RowId row = sequence.Find(reach.target); row != kNone) {
    const Row& target = sequence.row(row);
    if (!ReachesNowhere(target.body) || target.body == v1::Entry::kRegistered) {
      if (target.effective_at_us < until_us) return true;
      if (AnyBefore(sequence, target.place_device, target.place_seq, until_us)) return true;
    }
    if (target.body == v1::Entry::kRegistered &&
        IsNamedBefore(fold, fold.DirectorySubject(row), until_us))
      return true;
  }
  const Handle device = fold.interner().Find(reach.place_device);
  return device != kNoHandle && AnyBefore(sequence, device, reach.place_seq, until_us);
}

}  // namespace rundlet::closing
