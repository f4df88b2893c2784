// What all answers share: rounding in print, things said once, refusals that give the range and a
// guess at what was meant.
#include <gtest/gtest.h>

#include <limits>

#include "core/oenology/answer.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr Equation kTrial = {"trial",     "A trial",          "y = x", "all", "none",
                             "this test", Standing::kPractice};

TEST(AnswerTest, FiguresAreRoundedAndNeverMinusZero) {
  EXPECT_EQ(PrintFigure({"", 13.65, 1, "% vol"}), "13.7 % vol");
  EXPECT_EQ(PrintFigure({"", -0.04, 1, "g/L"}), "0.0 g/L");
  EXPECT_EQ(PrintFigure({"", 0.99616, 4, ""}), "0.9962");
}

TEST(AnswerTest, WhatWasSaidIsSaidOnce) {
  Answer part;
  part.Rest(kTrial);
  part.Mind(Caution::kAcid);
  Answer whole = part;
  whole.TakeOver(part);
  EXPECT_EQ(whole.equations.size(), 1u);
  EXPECT_EQ(whole.cautions.size(), 1u);
}

TEST(RangeTest, ARefusalGivesRangeAndGuess) {
  EXPECT_TRUE(CheckRange("pH", 3.5, 2.5, 4.5, "").ok());
  const absl::Status slip = CheckRange("pH", 35, 2.5, 4.5, "");
  EXPECT_EQ(slip.code(), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(slip.message(), "pH 35 is outside 2.5 to 4.5: was 3.5 meant?");
  EXPECT_EQ(CheckRange("temperature", 99, 0, 40, "C").message(),
            "temperature 99 C is outside 0 to 40 C: was 9.9 meant?");
  EXPECT_FALSE(CheckRange("pH", std::numeric_limits<double>::quiet_NaN(), 2.5, 4.5, "").ok());
}

}  // namespace
}  // namespace rundlet::oenology
