#ifndef RUNDLET_CORE_REPORTS_ADDITIONS_H_
#define RUNDLET_CORE_REPORTS_ADDITIONS_H_

#include "core/fold/fold.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// Every addition to a vessel in a period, a line a material: with the packet and its supplier's
// code, and the volume that was in the vessel before it. What is held or void is not among them.
// Costs one pass over the movements; rows are told as they are met.
void TellAdditions(const Fold& fold, const Period& period, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_ADDITIONS_H_
