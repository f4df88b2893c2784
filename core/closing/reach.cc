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

}  // namespace

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
  if (!reach.reaches_others()) return false;
  const Sequence& sequence = fold.sequence();
  if (const RowId row = sequence.Find(reach.target); row != kNone) {
    const Row& target = sequence.row(row);
    if (!ReachesNowhere(target.body) || target.body == v1::Entry::kRegistered) {
      if (target.effective_at_us < until_us) return true;
      if (AnyBefore(sequence, target.place_device, target.place_seq, until_us)) return true;
    }
  }
  const Handle device = fold.interner().Find(reach.place_device);
  return device != kNoHandle && AnyBefore(sequence, device, reach.place_seq, until_us);
}

}  // namespace rundlet::closing
