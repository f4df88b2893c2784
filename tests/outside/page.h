#ifndef RUNDLET_TESTS_OUTSIDE_PAGE_H_
#define RUNDLET_TESTS_OUTSIDE_PAGE_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"

// What checks against tables and pages share.
namespace rundlet::testing {

// The fields of one record of a CSV file (RFC 4180) that does not run over a line's end.
std::vector<std::string> CsvFields(const std::string& line);

// What stands between two marker lines of a page of docs/ must be `list`: "" if it is, else what to
// do. With RUNDLET_WRITE_DOCS in the environment the page is rewritten instead.
std::string KeepPageEqual(const std::string& path, absl::string_view begin, absl::string_view end,
                          absl::string_view list);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_OUTSIDE_PAGE_H_
