// Goal: parts add up to the whole and are within one of their exact share. Method: examples, and
// random weights.
#include "core/quantity/apportion.h"

#include <numeric>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::ElementsAre;

TEST(ApportionTest, LargestRemainderFirstAndTheFirstAtATie) {
  EXPECT_THAT(Apportion(100, {1, 1, 1}), ElementsAre(34, 33, 33));
  // 10 by 6, 3, 1: 6, 3, 1 exactly.
  EXPECT_THAT(Apportion(10, {6, 3, 1}), ElementsAre(6, 3, 1));
  // 7 by 5, 3, 2: 3.5, 2.1, 1.4.
  EXPECT_THAT(Apportion(7, {5, 3, 2}), ElementsAre(4, 2, 1));
  EXPECT_THAT(Apportion(5, {0, 0}), ElementsAre(0, 0));
  EXPECT_THAT(Apportion(0, {3, 4}), ElementsAre(0, 0));
  EXPECT_THAT(Apportion(9, {}), ElementsAre());
}

RC_GTEST_PROP(ApportionTest, AddsUpAndIsFair, ()) {
  const auto total = *rc::gen::inRange<int64_t>(0, 1'000'000'000'000);
  const auto weights = *rc::gen::nonEmpty(
      rc::gen::container<std::vector<int64_t>>(rc::gen::inRange<int64_t>(0, 1'000'000'000)));
  const __int128 sum = std::accumulate(weights.begin(), weights.end(), int64_t{0});
  RC_PRE(sum > 0);
  const std::vector<int64_t> parts = Apportion(total, weights);
  RC_ASSERT(std::accumulate(parts.begin(), parts.end(), int64_t{0}) == total);
  for (size_t i = 0; i < parts.size(); ++i) {
    const __int128 exact = static_cast<__int128>(total) * weights[i];
    RC_ASSERT(parts[i] * sum <= exact + sum && parts[i] * sum >= exact - sum);
  }
}

}  // namespace
}  // namespace rundlet
