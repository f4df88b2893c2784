#ifndef RUNDLET_TESTS_SUPPORT_BY_NAME_H_
#define RUNDLET_TESTS_SUPPORT_BY_NAME_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "core/fold/fold.h"
#include "tests/support/cellar_builder.h"

// Reads a fold by the names that tests give to things.
namespace rundlet::testing {

int64_t VolumeIn(const Fold& fold, absl::string_view vessel);
// The name of the lot that a vessel holds; "" for none.
std::string LotIn(const Fold& fold, absl::string_view vessel);
// How much of what a vessel holds came in by an entry.
int64_t OriginIn(const Fold& fold, absl::string_view vessel, const WrittenEntry& entry);
// How much of a material or material lot is in a vessel.
int64_t DoseIn(const Fold& fold, absl::string_view vessel, absl::string_view material,
               v1::Dimension dimension = v1::DIMENSION_MASS);
int64_t StockOf(const Fold& fold, absl::string_view material_lot,
                v1::Dimension dimension = v1::DIMENSION_MASS);
int64_t BottlesIn(const Fold& fold, absl::string_view bin, absl::string_view bottling,
                  int64_t size_ul = kBottleUl);
// The facts about a vessel's wine, latest first: "reading 1 = 1090000", "treatment 2 = 5".
std::vector<std::string> FactsIn(const Fold& fold, absl::string_view vessel);

// What an entry moved, in order: "2000000 wine C1 > C2", "5 bottles spring run glass > rack".
std::vector<std::string> MovesOf(const Fold& fold, const WrittenEntry& entry);
// Where the entry stands in the order.
size_t PositionOf(const Fold& fold, const WrittenEntry& entry);
RowId RowOf(const Fold& fold, const WrittenEntry& entry);
// "" if the entry has its effect; else why not: "EMPTY_VESSEL C1 needs 5 there 0 taken by racking".
std::string HeldText(const Fold& fold, const WrittenEntry& entry);
// The entry that a held one names as the last to take; nil if none.
Uuid TakenBy(const Fold& fold, const WrittenEntry& entry);

Handle HandleOf(const Fold& fold, absl::string_view name);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_BY_NAME_H_
