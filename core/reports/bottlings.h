#ifndef RUNDLET_CORE_REPORTS_BOTTLINGS_H_
#define RUNDLET_CORE_REPORTS_BOTTLINGS_H_

#include "core/fold/fold.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// Every bottling in a period, a line for each size and bin: with the fill, what was lost at it, and
// the latest reading of each kind that was taken of its wine until then. What is held or void is
// not among them.
void TellBottlings(const Fold& fold, const Period& period, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_BOTTLINGS_H_
