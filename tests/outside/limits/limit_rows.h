#ifndef RUNDLET_TESTS_OUTSIDE_LIMITS_LIMIT_ROWS_H_
#define RUNDLET_TESTS_OUTSIDE_LIMITS_LIMIT_ROWS_H_

#include <string>
#include <vector>

namespace rundlet::rules {

// A row of limits.csv: a limit as a reference table gives it. All as written there.
struct LimitRow {
  int line = 0;  // in the file
  std::string jurisdiction;
  std::string substances;  // "casein + milk"
  std::string basis;       // added, residual, total
  std::string kind;        // ceiling, ceiling less than, floor, raise, cut, allowed, forbidden,
                           // statement, statement more than
  std::string value;
  std::string unit;
  std::string colour;  // the class; empty is any
  std::string sugar;   // ">=2 <5", g/L
  std::string style;
  std::string fruit;
  std::string stage;
  std::string scheme;
  std::string special;
  std::string citation;
  std::string mark;
};

// The rows of the file beside this (RFC 4180; # remarks; one header). Ends the test program with a
// message if a row cannot be read: a row that is skipped would check nothing.
std::vector<LimitRow> ReadLimitRows();

// The figure in the smallest unit of its kind, as a whole number and the unit's name: "0.24", "g/L"
// is "240000 ug/L". Ends the program where it is no whole number of that.
std::string InSmallUnits(const LimitRow& row);

}  // namespace rundlet::rules

#endif  // RUNDLET_TESTS_OUTSIDE_LIMITS_LIMIT_ROWS_H_
