#include "server/cellar/period_guard.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/closing/words.h"

namespace rundlet::server {
namespace {

Handle DeviceOf(const Fold& fold, const v1::Entry& entry) {
  const auto id = Uuid::FromBytes(entry.device_id());
  return id.ok() ? fold.interner().Find(*id) : kNoHandle;
}

// Whether an entry voids or amends a closing or a reopening: neither would do anything.
bool IsAboutAClosing(const Fold& fold, const closing::Reach& reach) {
  const RowId row = reach.reaches_others() ? fold.sequence().Find(reach.target) : kNone;
  if (row == kNone) return false;
  const int body = fold.sequence().row(row).body;
  return body == v1::Entry::kPeriodClosed || body == v1::Entry::kPeriodReopened;
}

}  // namespace

void PeriodGuard::Take(RowId row, const v1::Entry& entry) {
  periods_.Take(row, entry);
  if (const closing::Reach reach = closing::ReachOf(entry);
      reach.reaches_others() || reach.registers())
    reachers_.push_back({.row = row, .reach = reach});
}

RowId PeriodGuard::FirstUnseen(const Fold& fold, RowId begin, Handle device,
                               int64_t until_us) const {
  const Sequence& sequence = fold.sequence();
  for (RowId i = begin; i < sequence.rows(); ++i) {
    const Row& row = sequence.row(i);
    if (row.device != device && row.effective_at_us < until_us &&
        !closing::ReachesNowhere(row.body))
      return i;
  }
  auto reacher = std::lower_bound(reachers_.begin(), reachers_.end(), begin,
                                  [](const Reacher& a, RowId row) { return a.row < row; });
  for (; reacher != reachers_.end(); ++reacher) {
    if (sequence.row(reacher->row).device == device) continue;
    // What it made known it made known meanwhile.
    if (closing::IsNamedBefore(fold, reacher->reach.thing, until_us) ||
        closing::Changes(fold, reacher->reach, until_us))
      return reacher->row;
  }
  return kNone;
}

std::optional<PeriodGuard::Refusal> PeriodGuard::CheckClosing(const Fold& fold,
                                                              const v1::Entry& entry) const {
  const v1::PeriodClosed& closed = entry.period_closed();
  const uint64_t size = fold.sequence().rows();
  if (closed.journal_size() > size) {
    return Refusal{v1::RETURN_REASON_NOT_SEEN,
                   absl::StrCat("whoever closed this period had seen ", closed.journal_size(),
                                " entries, and the journal has ", size,
                                ": let every device sync, then close it again")};
  }
  const RowId unseen = FirstUnseen(fold, static_cast<RowId>(closed.journal_size()),
                                   DeviceOf(fold, entry), closed.until_us());
  if (unseen == kNone) return std::nullopt;
  return Refusal{v1::RETURN_REASON_NOT_SEEN,
                 absl::StrCat("whoever closed this period had not seen all of it: an entry by ",
                              closing::WhoText(fold, unseen),
                              " had come in meanwhile; sync, look at it, and close it again")};
}

std::optional<PeriodGuard::Refusal> PeriodGuard::Check(const Fold& fold,
                                                       const v1::Entry& entry) const {
  const closing::Reach reach = closing::ReachOf(entry);
  if (IsAboutAClosing(fold, reach)) {
    return Refusal{v1::RETURN_REASON_PERIOD_CLOSED,
                   "what closed or reopened a period stands: reopen it with a reason, or close it "
                   "again (rundlet period)"};
  }
  if (entry.has_period_closed()) return CheckClosing(fold, entry);
  if (periods_.standing().empty() || !closing::Changes(fold, reach, periods_.until_us()))
    return std::nullopt;
  return Refusal{v1::RETURN_REASON_PERIOD_CLOSED, closing::RefusalText(fold, periods_)};
}

}  // namespace rundlet::server
