#ifndef RUNDLET_CORE_QUANTITY_FORMAT_H_
#define RUNDLET_CORE_QUANTITY_FORMAT_H_

#include <cstdint>
#include <string>

#include "absl/strings/string_view.h"
#include "core/quantity/amount.h"
#include "core/quantity/rate.h"

namespace rundlet {

// Amounts in print. Every function takes any 64-bit number, negative ones too: differences are
// printed as well. ASCII only; no locale.

enum class UnitSystem { kMetric, kUs };

// For people: the unit follows the size, digits are rounded (halves to even), zeros at the end are
// left out.
//
//   metric   "225.25 L"  "18.925 L"  "750 mL"  "0.4 mL"     "1.25 kg"  "30 g"  "150 mg"  "7 ug"
//   US       "5 gal"  "~4.89 gal"  "~12.5 fl oz"  "1.5 tsp"   "2 lb"  "~0.705 oz"
//
// In US units a "~" stands before a figure that reads back to another number of base units; no
// reader takes the "~", so that a rounded figure cannot slip into the book by copying. Metric
// figures carry no mark: they are off by at most one part in two thousand.
std::string FormatVolume(int64_t volume_ul, UnitSystem system = UnitSystem::kMetric);
std::string FormatMass(int64_t mass_ug, UnitSystem system = UnitSystem::kMetric);
std::string FormatCount(int64_t count);  // "12 pcs"
std::string FormatAmount(const Amount& amount, UnitSystem system = UnitSystem::kMetric);

// To the last base unit, always metric. ParseAmount() of the result gives the same number, for
// every number from 1 to MaxBase().
std::string FormatVolumeExact(int64_t volume_ul);  // "18.927059 L"
std::string FormatMassExact(int64_t mass_ug);      // "28.349523 g"
std::string FormatAmountExact(const Amount& amount);

// A rate per litre, for people: "0.5 g/L", "30 mg/L", "0.264 pcs/L".
std::string FormatRate(const Rate& rate);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_FORMAT_H_
