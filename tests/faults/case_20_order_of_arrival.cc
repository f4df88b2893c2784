// Case 20: entries arrive in any order, in any pieces, twice. arrival_property_test folds
// permutations of generated cellars, pieces and duplicates among them, and compares their digests:
// it is run here with the seed and as many cellars as the case asks for. Each cellar is one with 20
// to 60 permutations.
#include "absl/strings/str_cat.h"
#include "tests/faults/case.h"

namespace rundlet::testing {
namespace {

// Permutations of each cellar in the four profiles of arrival_test.cc.
constexpr int kPermutations = 50 + 60 + 20 + 20;

TEST_F(FaultCase, Case20_OrderOfArrival) {
  const int cellars = Times(8, 70);  // of each profile; 70 make more than 10,000 permutations
  const Finished arrival = RunProgram({Program("arrival_property_test")},
                                      {{"RUNDLET_SEED", absl::StrCat(TheFaultOptions().seed)},
                                       {"RUNDLET_RUNS", absl::StrCat(cellars)}});
  EXPECT_EQ(arrival.exit_code, 0) << arrival.out << arrival.err;
  EXPECT_THAT(arrival.out, ::testing::HasSubstr("[  PASSED  ]"));
  tally().runs += int64_t{cellars} * kPermutations;
}

}  // namespace
}  // namespace rundlet::testing
