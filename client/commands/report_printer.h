#ifndef RUNDLET_CLIENT_COMMANDS_REPORT_PRINTER_H_
#define RUNDLET_CLIENT_COMMANDS_REPORT_PRINTER_H_

#include <memory>
#include <ostream>

#include "core/reports/report.h"

namespace rundlet::client {

enum class ReportFormat { kTable, kCsv, kJson };

// Prints a report as its rows come, in constant memory. Finish after the last row.
//
// For people a table, with units that follow the size; long ones in stretches, each under the
// headings again. As CSV (RFC 4180) and JSON volumes are litres, shares per cent, times RFC 3339,
// and no figure is rounded; an amount of a material carries its unit. JSON has an object a row,
// which leaves out what is empty.
class ReportPrinter : public reports::Sink {
 public:
  virtual void Finish() = 0;
};

// What stands over a report is printed before a table, notes after it; beside CSV both go to
// `notes`, and in JSON they are the arrays "head" and "notes".
std::unique_ptr<ReportPrinter> MakeReportPrinter(ReportFormat format, std::ostream& out,
                                                 std::ostream& notes, size_t columns = 0);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_REPORT_PRINTER_H_
