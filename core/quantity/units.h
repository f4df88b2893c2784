#ifndef RUNDLET_CORE_QUANTITY_UNITS_H_
#define RUNDLET_CORE_QUANTITY_UNITS_H_

#include <cstdint>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet {

// The units that cellar hands write, each with its exact factor into the whole units in which the
// book is kept. The table is constant data: share it freely.

// What an amount is an amount of, and the base unit of each: whole microlitres, whole micrograms,
// whole pieces.
enum class Dimension { kVolume, kMass, kCount };

struct Unit {
  absl::string_view name;     // as we print it
  absl::string_view aliases;  // further spellings, between spaces; see FindUnit
  Dimension dimension;
  int64_t num;  // one of this unit is num / den base units, exactly
  int64_t den;
  absl::string_view source;  // the publication that fixes the factor
};

absl::Span<const Unit> AllUnits();

// The unit of a spelling. Letter case, spaces and full stops do not count: "fl. oz." is "floz",
// "750 ML" is what labels say. A bare gallon, quart, pint, cup or fluid ounce is the US one; the
// imperial ones are written "impgal" or "imp gal". An "oz" is a weight.
//
// InvalidArgument for a spelling that is not in the table, and for the few that people use for
// different things (gr, T, ton, case, barrel): the text says what to write.
absl::StatusOr<const Unit*> FindUnit(absl::string_view written);

// A unit of the table by its printed name, for names that stand in code. Ends the program when
// there is none.
const Unit& UnitNamed(absl::string_view name);

absl::string_view BaseUnitName(Dimension dimension);   // "uL", "ug", "pcs"
absl::string_view DimensionName(Dimension dimension);  // "volume", "weight", "count"
absl::string_view UnitExamples(Dimension dimension);   // "mL, L, hL or gal": for messages

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_UNITS_H_
