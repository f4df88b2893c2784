#ifndef RUNDLET_CORE_QUANTITY_READING_UNITS_H_
#define RUNDLET_CORE_QUANTITY_READING_UNITS_H_

#include <cstdint>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/quantity/reading_kind.h"

namespace rundlet {

// What is known of each kind of reading and its units: spellings, print, and which values a cellar
// can meet. Constant data. Values are millionths of the unit, as everywhere in readings.

struct ReadingRange {
  int64_t low_micro;
  int64_t high_micro;
  constexpr bool Has(int64_t value_micro) const {
    return low_micro <= value_micro && value_micro <= high_micro;
  }
};

// One unit that fits a kind. The first row of a kind is the unit that needs not be written.
//
// `possible` is what juice, must, wine, a spirit for fortifying or a concentrate can give at all;
// `usual` is what a number without a unit must lie in to be believed. Both are common practice,
// wide on purpose: they catch slipped points and units, they judge no wine.
struct ReadingRow {
  ReadingKind kind;
  ReadingUnit unit;
  absl::string_view aliases;  // lower case, without spaces and degree signs, between spaces
  ReadingRange usual;
  ReadingRange possible;
};
absl::Span<const ReadingRow> AllReadingRows();

struct ReadingKindInfo {
  ReadingKind kind;
  absl::string_view name;   // "titratable acidity"
  absl::string_view words;  // as commands take it: "ta acidity"
};
absl::Span<const ReadingKindInfo> AllReadingKinds();

struct ReadingUnitInfo {
  ReadingUnit unit;
  absl::string_view symbol;  // "°Bx"; UTF-8
  int min_decimals;          // that its instruments are read to at least
};
// kUnspecified (or a number that is no unit) gives an empty symbol.
const ReadingUnitInfo& InfoOf(ReadingUnit unit);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_READING_UNITS_H_
