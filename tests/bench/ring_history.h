#ifndef RUNDLET_TESTS_BENCH_RING_HISTORY_H_
#define RUNDLET_TESTS_BENCH_RING_HISTORY_H_

#include <string>
#include <vector>

#include "tests/support/cellar_builder.h"

namespace rundlet::bench {

// The book of an (invented) house of many small cellars, each a ring of ten barrels: every barrel
// is topped from the one before it, round after round, so that each delivery is in everything that
// comes after it. The rings take turns, so what belongs to one of them lies scattered over the
// book. In the end one barrel of each ring is bottled.
//
// `toppings` is the number of them in each ring; each makes a parcel and two movements.
std::vector<WrittenEntry> RingHistory(testing::TestDevice& device, int rings, int toppings);

// The lot that the first barrel of a ring was filled with, before all toppings.
std::string RingLot(int ring);

}  // namespace rundlet::bench

#endif  // RUNDLET_TESTS_BENCH_RING_HISTORY_H_
