#ifndef RUNDLET_CORE_REPORTS_INVENTORY_H_
#define RUNDLET_CORE_REPORTS_INVENTORY_H_

#include <cstdint>

#include "core/fold/fold.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// What was in each vessel, bin and packet just before a moment, as this fold knows it. What was
// known at an earlier time is the inventory of a fold of what was written down by then.
void TellInventory(const Fold& fold, int64_t before_us, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_INVENTORY_H_
