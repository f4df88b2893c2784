#ifndef RUNDLET_TESTS_BENCH_CLUB_HISTORY_H_
#define RUNDLET_TESTS_BENCH_CLUB_HISTORY_H_

#include <functional>
#include <vector>

#include "tests/support/cellar_builder.h"

namespace rundlet::bench {

// The book of an (invented) club that makes one batch after another in twenty vessels, as people
// really keep it: of 50 entries about a batch, 32 are readings, the rest receipts, additions,
// rackings, a bottling and bottles taken out. No randomness: the same `entries` gives the same
// history. At least `entries` long, ended at the end of a batch.
std::vector<WrittenEntry> ClubHistory(testing::TestDevice& device, size_t entries);

}  // namespace rundlet::bench

#endif  // RUNDLET_TESTS_BENCH_CLUB_HISTORY_H_
