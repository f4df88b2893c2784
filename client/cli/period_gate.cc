#include "client/cli/period_gate.h"

#include "absl/strings/str_cat.h"
#include "client/cellar/closed_book.h"
#include "core/closing/reach.h"
#include "core/closing/words.h"

namespace rundlet::client {
namespace {

bool IsClosingBody(int body) {
  return body == v1::Entry::kPeriodClosed || body == v1::Entry::kPeriodReopened;
}

bool TargetsAClosing(const Fold& fold, const closing::Reach& reach) {
  const RowId row = reach.reaches_others() ? fold.sequence().Find(reach.target) : kNone;
  return row != kNone && IsClosingBody(fold.sequence().row(row).body);
}

}  // namespace

absl::Status CheckPeriods(const Cellar& cellar, const closing::Periods& periods,
                          const v1::Entry& entry) {
  const closing::Reach reach = closing::ReachOf(entry);
  if (TargetsAClosing(*cellar.fold, reach)) {
    return absl::FailedPreconditionError(
        "what closed or reopened a period stands: rundlet period reopen DATE --reason WHY, or "
        "rundlet period close DATE");
  }
  if (IsClosingBody(entry.body_case()) && entry.has_amendment()) {
    return absl::FailedPreconditionError(
        "a closing stands for itself, in the place of no other entry: void that one, then close");
  }
  if (periods.standing().empty() || !closing::Changes(*cellar.fold, reach, periods.until_us()))
    return absl::OkStatus();
  return absl::FailedPreconditionError(
      absl::StrCat("nothing was saved: ", closing::RefusalText(*cellar.fold, periods)));
}

absl::Status CheckPeriods(Cellar& cellar, absl::Span<const v1::Entry> entries) {
  const auto periods = PeriodsOf(cellar);
  if (!periods.ok()) return periods.status();
  for (const v1::Entry& entry : entries) {
    if (absl::Status status = CheckPeriods(cellar, *periods, entry); !status.ok()) return status;
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client
