// What all answers share: rounding in print, things said once, refusals that give the range and a
// guess at what was meant.
#include <gtest/gtest.h>

#include <limits>
#include <string>

#include "absl/strings/str_format.h"
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

TEST(RangeTest, APercentageGivenAsAShareIsRecognisedFirst) {
  EXPECT_EQ(CheckRange("yield", 0.5, 3, 70, "%").message(),
            "yield 0.5 % is outside 3 to 70 %: was 50 meant?");
  EXPECT_EQ(CheckRange("alcohol", 0.12, 1, 20, "% vol").message(),
            "alcohol 0.12 % vol is outside 1 to 20 % vol: was 12 meant?");
  // Not where that does not fit, nor for what is no percentage.
  EXPECT_EQ(CheckRange("stock", 0.5, 1, 20, "% w/v").message(),
            "stock 0.5 % w/v is outside 1 to 20 % w/v: was 5 meant?");
  EXPECT_EQ(CheckRange("length", 0.5, 3, 70, "cm").message(),
            "length 0.5 cm is outside 3 to 70 cm: was 5 meant?");
}

TEST(RangeTest, ASharesRefusalSpeaksOfPerCent) {
  EXPECT_TRUE(CheckShare("yield", 0.3, 0.3, 0.7).ok());
  EXPECT_TRUE(CheckShare("yield", 0.7, 0.3, 0.7).ok());
  EXPECT_EQ(CheckShare("yield", 0.005, 0.3, 0.7).message(),
            "yield 0.5 % is outside 30 to 70 %: was 50 meant?");
  EXPECT_FALSE(CheckShare("yield", std::numeric_limits<double>::quiet_NaN(), 0.3, 0.7).ok());
}

TEST(RangeTest, AGuessIsNeverWhatWasGivenNorMoreWhereMoreHarms) {
  for (const double value :
       {-1e9, -5.0, -1e-9, 0.0, 1e-12, 0.005, 0.5, 2.9999999, 3.0000001, 19.0, 71.0, 5e3, 1e9}) {
    for (const char* unit : {"%", "mg/L", ""}) {
      for (const double low : {0.3, 3.0, 30.0}) {
        const std::string text(CheckRange("x", value, low, 7, unit).message());
        const std::string same = absl::StrFormat("was %.6g meant", value);
        EXPECT_EQ(text.find(same), std::string::npos) << text;
        const std::string careful(CheckRange("x", value, low, 7, unit, Guess::kSmaller).message());
        const size_t at = careful.find("was ");
        if (at == std::string::npos) continue;
        EXPECT_LT(std::stod(careful.substr(at + 4)), value) << careful;
      }
    }
  }
  EXPECT_EQ(CheckRange("copper", 0.01, 0.02, 2, "mg/L", Guess::kSmaller).message(),
            "copper 0.01 mg/L is outside 0.02 to 2 mg/L");
  EXPECT_EQ(CheckRange("copper", 20, 0.02, 2, "mg/L", Guess::kSmaller).message(),
            "copper 20 mg/L is outside 0.02 to 2 mg/L: was 2 meant?");
}

}  // namespace
}  // namespace rundlet::oenology
