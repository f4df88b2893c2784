// Goal: the answers agree with what the trade goes by.
// Method: facts that everybody who makes wine knows, put as questions. Each is common practice: no
// source stands behind it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "absl/strings/match.h"
#include "core/oenology/answers/alcohol_answer.h"
#include "core/oenology/answers/fermentation_answer.h"
#include "core/oenology/answers/fining_answer.h"
#include "core/oenology/answers/instruments_answer.h"
#include "core/oenology/answers/sulfite_dose_answer.h"
#include "core/quantity/reading.h"

namespace rundlet::oenology {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::Ge;
using ::testing::HasSubstr;
using ::testing::Le;

constexpr double kFiveGallonsL = 5 * 3.785411784;

// The figure whose label begins so.
const Figure& FigureOf(const absl::StatusOr<Answer>& answer, absl::string_view label) {
  static const Figure none{.value = std::nan("")};
  EXPECT_TRUE(answer.ok()) << answer.status();
  if (!answer.ok()) return none;
  for (const Figure& figure : answer->figures) {
    if (absl::StartsWith(figure.label, label)) return figure;
  }
  ADD_FAILURE() << "no figure is called " << label;
  return none;
}

double CelsiusOf(const char* reading) {
  const auto read = ParseReading(ReadingKind::kTemperature, reading);
  EXPECT_TRUE(read.ok()) << read.status();
  return static_cast<double>(CelsiusOfFahrenheit(read->value_micro)) * 1e-6;
}

// Common practice, no source: a full-bodied red that starts at SG 1.100 and ends at 0.996 has 13.5
// to 14 % vol.
TEST(PracticeTest, AFullBodiedRed) {
  const auto answer = AnswerAlcohol(1.100, 0.996);
  const Figure& middle = FigureOf(answer, "middle");
  EXPECT_THAT(middle.value, AllOf(Ge(13.5), Le(14.0)));
  EXPECT_EQ(middle.unit, "% vol");
  // The single ways say the same within the error that they own up to.
  for (const Figure& figure : answer->figures) {
    if (!absl::StartsWith(figure.label, "alcohol, ")) continue;
    EXPECT_GE(figure.value + figure.error, 13.5) << figure.label;
    EXPECT_LE(figure.value - figure.error, 14.0) << figure.label;
  }
}

// Common practice, no source: 68 F is 20 C, 76 F is 24.4 C.
TEST(PracticeTest, CellarTemperatures) {
  EXPECT_EQ(CelsiusOf("68F"), 20);
  EXPECT_NEAR(CelsiusOf("76F"), 24.4, 0.05);
  // A hydrometer for 68 F read at 20 C needs no correction.
  const auto none =
      AnswerHydrometer({.gravity = 1.090, .temperature_c = 20, .calibration_c = CelsiusOf("68F")});
  EXPECT_NEAR(FigureOf(none, "corrected gravity, as sugar solution").value, 1.090, 1e-9);
  // At 76 F it reads low, by one thousandth.
  const auto warm =
      AnswerHydrometer({.gravity = 1.090, .temperature_c = CelsiusOf("76F"), .calibration_c = 20});
  EXPECT_NEAR(FigureOf(warm, "corrected gravity, as sugar solution").value, 1.091, 5e-4);
  EXPECT_THAT(warm->working, Contains(HasSubstr("24.4 C")));
}

// Common practice, no source: a quarter teaspoon (1.4 to 1.6 g) of potassium metabisulfite in five
// US gallons adds 40 to 50 mg/L.
TEST(PracticeTest, AQuarterTeaspoonOfMetabisulfite) {
  for (const double grams : {1.4, 1.5, 1.6}) {
    const auto answer = AnswerSulfiteGiven(
        {.volume_l = kFiveGallonsL, .amount = grams, .free_mg_l = 0, .total_mg_l = 0});
    EXPECT_THAT(FigureOf(answer, "total SO2").value, AllOf(Ge(40), Le(50))) << grams;
  }
  // The other way round: to add 45 mg/L takes about a quarter teaspoon.
  const auto dose = AnswerSulfiteDose({.volume_l = kFiveGallonsL,
                                       .free_mg_l = 0,
                                       .total_mg_l = 0,
                                       .target_free_mg_l = 45,
                                       .free_share = 1});
  ASSERT_TRUE(dose.ok()) << dose.status();
  EXPECT_THAT(dose->figures[0].value, AllOf(Ge(1.4), Le(1.6)));
  EXPECT_EQ(dose->figures[0].unit, "g");
}

// Common practice, no source: one ounce in five gallons is 1.5 to 1.6 mL/L, or 1.5 g/L by weight.
TEST(PracticeTest, AnOunceInFiveGallons) {
  const auto by_weight =
      AnswerFining({.fining = Fining::kOakChips, .volume_l = kFiveGallonsL, .dose_mg_l = 1500});
  ASSERT_TRUE(by_weight.ok()) << by_weight.status();
  EXPECT_EQ(by_weight->figures[0].unit, "g");
  EXPECT_NEAR(by_weight->figures[0].value, 28.35, 0.1) << "an ounce";
  // A trial in the glass with so many mL in a litre, taken to five gallons, brackets a fluid ounce.
  const auto stock_ml = [](double ml_per_l) {
    return FigureOf(AnswerBenchTrial({.stock_pct_wv = 5, .stock_ml = ml_per_l, .sample_ml = 1000},
                                     kFiveGallonsL, std::nullopt),
                    "or, of the same stock")
        .value;
  };
  EXPECT_LT(stock_ml(1.5), 29.57);
  EXPECT_GT(stock_ml(1.6), 29.57);
  EXPECT_NEAR(stock_ml(1.5625), 29.57, 0.05);
}

// Common practice, no source: 0.996 or less counts as dry.
TEST(PracticeTest, DryIs0996OrLess) {
  const std::vector<GravityReading> to_dryness = {
      {.day = 0, .gravity = 1.090}, {.day = 4, .gravity = 1.040}, {.day = 12, .gravity = 0.996}};
  const auto dry = AnswerForecast(to_dryness, kDryGravity);
  ASSERT_TRUE(dry.ok()) << dry.status();
  EXPECT_THAT(dry->working, Contains(HasSubstr("at the target of 0.9960 already")));
  std::vector<GravityReading> not_yet = to_dryness;
  not_yet.back().gravity = 0.998;
  const auto sweet = AnswerForecast(not_yet, kDryGravity);
  ASSERT_TRUE(sweet.ok()) << sweet.status();
  EXPECT_THAT(sweet->working, Not(Contains(HasSubstr("already"))));
  // What is left then lies within the error of nothing.
  const Figure& left = FigureOf(AnswerResidualSugar(0.996, 13), "sugar left");
  EXPECT_LE(left.value - left.error, 4);
}

}  // namespace
}  // namespace rundlet::oenology
