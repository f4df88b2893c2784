#ifndef RUNDLET_CORE_REPORTS_CSV_H_
#define RUNDLET_CORE_REPORTS_CSV_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::reports {

// Comma-separated values as RFC 4180 has them: lines end with CR LF, fields with a comma, a quote
// or a line break in them stand in double quotes, and a quote in them is doubled.

// One record with its line end.
std::string CsvLine(absl::Span<const std::string> fields);

struct CsvRecord {
  int64_t line = 0;  // that it begins at, from 1; fields in quotes may go over several
  std::vector<std::string> fields;
};

// Reads a whole text. What people's programs write is taken too: a byte order mark, lines that end
// with LF alone, no line end after the last record, empty lines, which are left out. `separator` is
// a comma in the standard; many programs of countries with a decimal comma write a semicolon.
//
// InvalidArgument, with the number of the line: a quote that is never closed, or one in the middle
// of a field.
absl::StatusOr<std::vector<CsvRecord>> ReadCsv(absl::string_view text, char separator = ',');

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_CSV_H_
