#ifndef RUNDLET_CORE_REPORTS_CELL_TEXT_H_
#define RUNDLET_CORE_REPORTS_CELL_TEXT_H_

#include <string>

#include "core/reports/report.h"

namespace rundlet::reports {

// A cell for people: units follow the size, figures are rounded. Texts are as they were written:
// whoever prints them makes them harmless there.
std::string CellText(const Cell& cell);

// "2.1" of 21,049 millionths, with one decimal.
std::string PercentText(int64_t ppm, int decimals);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_CELL_TEXT_H_
