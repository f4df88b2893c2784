#ifndef RUNDLET_CORE_REPORTS_LOSSES_H_
#define RUNDLET_CORE_REPORTS_LOSSES_H_

#include "absl/status/status.h"
#include "core/fold/fold.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// What was lost, and what more was found than the book held, in a period: by vessel or bin and
// cause, then by cause over all. The share is of the throughput: what was there at the beginning
// and all that came in. What is poured off on purpose - sold, served, sampled, dumped - is no loss;
// the register has it. Errors are those of MakeRegister.
absl::Status TellLosses(const Fold& fold, const Period& period, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_LOSSES_H_
