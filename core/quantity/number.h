#ifndef RUNDLET_CORE_QUANTITY_NUMBER_H_
#define RUNDLET_CORE_QUANTITY_NUMBER_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet {

// Numbers as hands write them, without floating point: the reader and the writer side by side.

// A number read exactly: num / den with den > 0. Not reduced, so that "1.50" keeps den = 100.
struct Number {
  int64_t num = 0;
  int64_t den = 1;
  // Written like "1,500": a decimal comma or a thousands separator. num and den take the comma for
  // a decimal one; the caller decides, or asks.
  bool ambiguous_comma = false;
};

// Takes one number off the front of `text` and leaves the rest there, spaces skipped:
//
//   18.5   .5   1,5   -2   1/2   1 1/2
//
// A comma is a decimal sign. Where it could also group thousands (one to three digits that do not
// begin with 0 before it, exactly three after), the number says so. Grouped thousands are not read.
// InvalidArgument when the text does not begin with a number; OutOfRange beyond 18 digits.
absl::StatusOr<Number> TakeNumber(absl::string_view* text);

// num / den as a decimal, halves to even, with at least `min_decimals` and at most `max_decimals`
// (0 to 9) digits after the point; zeros at the end beyond the minimum are left out. No sign on
// what rounds to zero. den must be positive, and |num| * 10^max_decimals must fit 127 bits.
std::string PrintRatio(__int128 num, __int128 den, int min_decimals, int max_decimals);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_NUMBER_H_
