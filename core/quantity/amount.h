#ifndef RUNDLET_CORE_QUANTITY_AMOUNT_H_
#define RUNDLET_CORE_QUANTITY_AMOUNT_H_

#include <cstdint>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/quantity/number.h"
#include "core/quantity/units.h"

namespace rundlet {

// A volume, a weight or a number of pieces, greater than zero, in whole base units.
struct Amount {
  Dimension dimension = Dimension::kVolume;
  int64_t base = 0;   // microlitres, micrograms or pieces
  bool exact = true;  // false where what was written is not a whole number of base units

  friend bool operator==(const Amount&, const Amount&) = default;
};

// The most that one amount may be: 10^15 uL (a million m3), 10^15 ug (a thousand tonnes), 10^9
// pieces. Beyond it somebody has slipped, and sums of many amounts stay far from overflow.
int64_t MaxBase(Dimension dimension);

// An amount as a hand writes it: a number as TakeNumber() reads it, then a unit as FindUnit() knows
// it, with or without a space between.
//
//   "18.5L"   "5 gal"   "0.25 tsp"   "1 1/2 tsp"   "1,5 L"   "2oz"   "3"   "12 bottles"
//
// A whole number without a unit counts pieces. What falls between two base units goes to the
// nearer, halves to even, with `exact` false; pieces must be whole.
//
// InvalidArgument for text that is no amount, for nothing or less than nothing, and for "1,500 L",
// which is one and a half to some and fifteen hundred to others. OutOfRange for what is larger than
// MaxBase() or smaller than half a base unit. The text says what to write instead.
absl::StatusOr<Amount> ParseAmount(absl::string_view text);

// The same where only one dimension makes sense: base units, or InvalidArgument that names the
// units to use.
absl::StatusOr<int64_t> ParseVolume(absl::string_view text);  // microlitres
absl::StatusOr<int64_t> ParseMass(absl::string_view text);    // micrograms
absl::StatusOr<int64_t> ParseCount(absl::string_view text);   // pieces

// The pieces of the above, for readers of larger things; `text` is what was written, for messages.
// CheckWritten() refuses a comma that can be read in two ways, zero, and less than zero.
absl::Status CheckWritten(const Number& number, absl::string_view text);
absl::StatusOr<Amount> AmountOf(const Number& number, const Unit& unit, absl::string_view text);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_AMOUNT_H_
