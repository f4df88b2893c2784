#ifndef RUNDLET_TESTS_OUTSIDE_OENOLOGY_CHECK_ROWS_H_
#define RUNDLET_TESTS_OUTSIDE_OENOLOGY_CHECK_ROWS_H_

#include <map>
#include <string>
#include <vector>

namespace rundlet::oenology {

// A published value: what a source says comes out for these inputs.
struct CheckRow {
  int line = 0;                          // in the file
  std::string check;                     // which relation: "molecular-so2"
  std::map<std::string, double> inputs;  // "ph" -> 3.4
  double expected = 0;
  std::string unit;
  double tolerance = 0;  // either way, as the source's own rounding and error have it
  std::string source;
  std::string mark;  // read, second-hand, memory, derived, practice
};

// The rows of one of the CSV files beside this (RFC 4180; lines that begin with # are remarks; one
// header line). Ends the test program with a message if a row cannot be read: a row that is skipped
// would check nothing.
std::vector<CheckRow> ReadCheckRows(const std::string& file_name);

// The input, which must be there.
double Input(const CheckRow& row, const std::string& name);

}  // namespace rundlet::oenology

#endif  // RUNDLET_TESTS_OUTSIDE_OENOLOGY_CHECK_ROWS_H_
