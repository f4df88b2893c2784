// Goal: the one solver finds what it should and refuses what it cannot. Method: functions whose
// solution is known, rising and falling, and ones that give no number.
#include "core/oenology/solve.h"

#include <gtest/gtest.h>

#include <limits>

namespace rundlet::oenology {
namespace {

TEST(SolveTest, FindsTheSolutionOfRisingAndFallingFunctions) {
  const auto cube = [](double x) { return x * x * x; };
  EXPECT_NEAR(*Solve("cube", cube, 27, 0, 10), 3, 1e-12);
  const auto falling = [](double x) { return 5 - 2 * x; };
  EXPECT_NEAR(*Solve("line", falling, 0, -10, 10), 2.5, 1e-12);
  EXPECT_EQ(*Solve("line", falling, 25, -10, 10), -10);  // at the end itself
  EXPECT_EQ(*Solve("line", falling, -15, -10, 10), 10);
}

TEST(SolveTest, RefusesATargetBeyondTheEnds) {
  const auto line = [](double x) { return x; };
  const auto refused = Solve("the line", line, 11, 0, 10);
  EXPECT_EQ(refused.status().code(), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(refused.status().message(), "the line: no solution from 0 to 10");
}

TEST(SolveTest, RefusesAFunctionWithoutNumbers) {
  const auto none = [](double) { return std::numeric_limits<double>::quiet_NaN(); };
  EXPECT_EQ(Solve("none", none, 1, 0, 10).status().code(), absl::StatusCode::kInternal);
  const auto hole = [](double x) {
    return x > 4 && x < 6 ? std::numeric_limits<double>::infinity() : x;
  };
  EXPECT_EQ(Solve("hole", hole, 5, 0, 10).status().code(), absl::StatusCode::kInternal);
}

}  // namespace
}  // namespace rundlet::oenology
