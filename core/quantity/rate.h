#ifndef RUNDLET_CORE_QUANTITY_RATE_H_
#define RUNDLET_CORE_QUANTITY_RATE_H_

#include <cstdint>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/quantity/amount.h"
#include "core/quantity/units.h"

namespace rundlet {

// How much of something goes into a volume of wine: num / den base units per microlitre, exactly
// and in lowest terms, both greater than zero.
struct Rate {
  Dimension dimension = Dimension::kMass;  // of what is added
  int64_t num = 1;
  int64_t den = 1;

  // What the rate makes of a volume, to the nearest base unit, halves to even; `exact` tells.
  // InvalidArgument for a volume or a rate that is not greater than zero; OutOfRange for a result
  // beyond MaxBase() or that rounds to nothing.
  absl::StatusOr<Amount> Times(int64_t volume_ul) const;

  friend bool operator==(const Rate&, const Rate&) = default;
};

// A rate as a hand writes it: an amount per volume, where the volume may go without its number.
//
//   "0.5g/L"   "20 g/hL"   "1 mL/L"   "30 ppm"   "1 oz/5gal"   "1 tablet per gal"
//
// ppm is mg/L, as laboratories use it for wine. A number without a unit counts pieces, and need
// not be whole. InvalidArgument for text that is no rate, and for what CheckWritten() refuses;
// OutOfRange for a ratio that 64-bit terms cannot hold.
absl::StatusOr<Rate> ParseRate(absl::string_view text);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_RATE_H_
