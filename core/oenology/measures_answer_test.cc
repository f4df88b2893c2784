// Goal: answers of measure say what they should beside the number. Method: one call of each;
// figures first asked for first, every equation named, cautions and warnings where they belong.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "absl/strings/match.h"
#include "core/oenology/answers/alcohol_answer.h"
#include "core/oenology/answers/fermentation_answer.h"
#include "core/oenology/answers/instruments_answer.h"
#include "core/oenology/answers/scales_answer.h"
#include "core/oenology/answers/vessel_answer.h"

namespace rundlet::oenology {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

// What every answer owes, whatever it is about.
void ExpectWhole(const absl::StatusOr<Answer>& answer) {
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_FALSE(answer->figures.empty());
  EXPECT_FALSE(answer->working.empty() && answer->warnings.empty());
  const std::vector<const Equation*> all(AllEquations().begin(), AllEquations().end());
  for (const Equation* e : answer->equations) EXPECT_THAT(all, Contains(e)) << e->id;
  for (const Figure& f : answer->figures) {
    EXPECT_TRUE(std::isfinite(f.value)) << f.label;
    EXPECT_TRUE(std::isfinite(f.error)) << f.label;
    EXPECT_GE(f.error, 0) << f.label;
  }
}

const Figure* Find(const Answer& answer, absl::string_view label) {
  for (const Figure& f : answer.figures) {
    if (absl::StrContains(f.label, label)) return &f;
  }
  return nullptr;
}

TEST(MeasuresAnswerTest, AllAnswersAreWhole) {
  ExpectWhole(AnswerScales(Scale::kBrix, 24));
  ExpectWhole(AnswerPotentialAlcohol(Scale::kOechsle, 90));
  ExpectWhole(AnswerHydrometer({.gravity = 1.09, .temperature_c = 28, .calibration_c = 20}));
  ExpectWhole(AnswerHydrometer({.gravity = 0.995, .temperature_c = 25, .calibration_c = 20}, 12));
  ExpectWhole(AnswerRefractometerTemperature(22, 15));
  ExpectWhole(AnswerRefractometerWithGravity(8, 0.998));
  ExpectWhole(AnswerRefractometerWithOriginal(12, 24));
  ExpectWhole(AnswerFortified(20, 4));
  ExpectWhole(AnswerAlcohol(1.1, 0.996));
  ExpectWhole(AnswerDistillate(982.35, 20));
  ExpectWhole(AnswerDistillateDensity(40, 15));
  ExpectWhole(AnswerDensityWithoutSulfurDioxide(992, 150));
  ExpectWhole(AnswerResidualSugar(0.998, 12));
  ExpectWhole(AnswerEnergy({.alcohol_pct = 12.5, .sugar_g_l = 3}));
  ExpectWhole(AnswerFermentation({.volume_l = 200, .sugar_g_l = 230, .room_m3 = 40}));
  ExpectWhole(AnswerDissolvedGas(12, 12, 2));
  ExpectWhole(AnswerUprightCylinder(60, 100, 40));
  ExpectWhole(AnswerLyingCylinder(60, 100, 40));
  ExpectWhole(AnswerBarrel({.bung_cm = 70, .head_cm = 58, .length_cm = 88}, 60));
  ExpectWhole(AnswerBottles(23));
  ExpectWhole(
      AnswerForecast(std::vector<GravityReading>{{0, 1.09}, {2, 1.07}, {3, 1.05}, {4, 1.03}}, 1.0));
}

TEST(MeasuresAnswerTest, OneReadingOnAllScales) {
  const Answer answer = *AnswerScales(Scale::kGravity, 1.1);
  EXPECT_EQ(answer.figures.size(), 10u);
  EXPECT_EQ(PrintFigure(*Find(answer, "specific gravity")), "1.1000");
  EXPECT_EQ(PrintFigure(*Find(answer, "Brix")), "23.79 °Bx");
  EXPECT_EQ(PrintFigure(*Find(answer, "Oechsle")), "100.0 °Oe");
  EXPECT_NEAR(Find(answer, "sugar, grape must")->value, 232.8, 0.5);
  const Answer dry = *AnswerScales(Scale::kGravity, 0.995);
  EXPECT_EQ(Find(dry, "grape must"), nullptr);
  EXPECT_THAT(dry.warnings, Contains(HasSubstr("lighter than water")));
}

TEST(MeasuresAnswerTest, AlcoholShowsTheWaysSideBySide) {
  const Answer answer = *AnswerAlcohol(1.1, 0.996);
  EXPECT_EQ(PrintFigure(answer.figures[0]), "13.3 % vol");
  EXPECT_EQ(PrintFigure(*Find(answer, "Balling")), "14.1 % vol");
  EXPECT_EQ(PrintFigure(*Find(answer, "simple factor")), "13.7 % vol");
  EXPECT_EQ(PrintFigure(*Find(answer, "spread")), "0.9 % vol");
  EXPECT_EQ(Find(answer, "beers"), nullptr);
  EXPECT_NE(Find(*AnswerAlcohol(1.05, 1.01), "beers"), nullptr);
  EXPECT_THAT(AnswerAlcohol(1.03, 1.0)->warnings, Contains(HasSubstr("left out")));
}

TEST(MeasuresAnswerTest, WhatIsDerivedSaysSo) {
  EXPECT_THAT(AnswerRefractometerWithGravity(8, 0.998)->warnings,
              Contains(HasSubstr("not tried on wine")));
  EXPECT_THAT(AnswerFortified(12, 4)->warnings, Contains(HasSubstr("not the strength")));
  EXPECT_THAT(AnswerDistillate(982.35, 20)->warnings, Contains(HasSubstr("extract weighs too")));
}

TEST(MeasuresAnswerTest, CautionsStandWhereTheyBelong) {
  const Answer room = *AnswerFermentation({.volume_l = 200, .sugar_g_l = 230, .room_m3 = 40});
  EXPECT_THAT(room.cautions, Contains(Caution::kCarbonDioxide));
  EXPECT_THAT(room.warnings, Contains(HasSubstr("only a meter")));
  EXPECT_THAT(room.working, Contains(HasSubstr("29 CFR 1910.1000")));
  EXPECT_THAT(room.working, Contains(HasSubstr("EH40/2005; from memory")));
  EXPECT_THAT(AnswerResidualSugar(1.01, 10)->cautions, Contains(Caution::kPressure));
  EXPECT_THAT(AnswerDistillateDensity(96, 20)->cautions, Contains(Caution::kFlammable));
  EXPECT_THAT(AnswerDistillateDensity(12, 20)->cautions, Not(Contains(Caution::kFlammable)));
}

TEST(MeasuresAnswerTest, AForecastSaysStuckAndTooHot) {
  const Answer stuck = *AnswerForecast(
      std::vector<GravityReading>{{0, 1.095}, {5, 1.024}, {6, 1.0205}, {7, 1.02}, {8, 1.02, 34.0}},
      0.996);
  EXPECT_THAT(stuck.warnings, Contains(HasSubstr("stuck: at 1.0200")));
  EXPECT_THAT(stuck.warnings, Contains(HasSubstr("too hot: 34.0 C")));
  EXPECT_EQ(
      AnswerForecast(std::vector<GravityReading>{{0, 1.09}, {1, 1.08}}, 0.996).status().code(),
      absl::StatusCode::kFailedPrecondition);
}

TEST(MeasuresAnswerTest, AForecastNeverSaysNow) {
  for (const double target : {0.996, 0.997}) {
    const Answer answer = *AnswerForecast(
        std::vector<GravityReading>{{0, 1.090}, {2, 1.050}, {4, 1.010}, {6, 0.998}}, target);
    const Figure* days = Find(answer, "days from the last reading");
    if (days == nullptr) {
      EXPECT_THAT(answer.warnings, Contains(HasSubstr("no day can be told")));
      continue;
    }
    EXPECT_GT(std::stod(Print(days->value, days->decimals)), 0) << "as it is shown";
    EXPECT_GT(std::stod(Print(days->error, days->decimals)), 0) << "as it is shown";
  }
}

TEST(MeasuresAnswerTest, AForecastSaysReachedFirstAndWhen) {
  const Answer answer = *AnswerForecast(
      std::vector<GravityReading>{{1, 1.090}, {5, 1.010}, {9, 0.9955}, {12, 0.994}}, 0.996);
  EXPECT_EQ(answer.figures[0].label, "reached: the last reading is below the target of 0.9960");
  EXPECT_EQ(PrintFigure(answer.figures[0]), "0.9940 SG");
  // Between day 5 and day 9, of which the first reading is day 1.
  const Figure* when = Find(answer, "by the reading of 0.9955");
  ASSERT_NE(when, nullptr);
  EXPECT_EQ(when->value, 6);
  EXPECT_EQ(when->error, 2);
  EXPECT_EQ(Find(answer, "drop a day"), nullptr);
  EXPECT_EQ(AnswerForecast(std::vector<GravityReading>{{1, 1.090}, {5, 1.010}, {9, 1.000}}, 1.000)
                ->figures[0]
                .label,
            "reached: the last reading is at the target of 1.0000");
}

TEST(MeasuresAnswerTest, AForecastSaysThatReadingsRise) {
  const Answer answer =
      *AnswerForecast(std::vector<GravityReading>{{0, 1.010}, {2, 1.030}, {4, 1.020}}, 0.996);
  EXPECT_THAT(answer.warnings, Contains(HasSubstr("the readings rise, from 1.0100 to 1.0300")));
  EXPECT_EQ(Find(answer, "days"), nullptr);
  EXPECT_EQ(Find(answer, "drop a day"), nullptr);
}

TEST(MeasuresAnswerTest, ALimitAboveThatOfAWorkingDayIsWarnedOf) {
  FermentationInRoom what{.volume_l = 200, .sugar_g_l = 230, .room_m3 = 40};
  EXPECT_THAT(AnswerFermentation(what)->warnings, Not(Contains(HasSubstr("working day"))));
  what.limit_ppm = 10000;
  EXPECT_THAT(AnswerFermentation(what)->warnings, Contains(HasSubstr("is above 5000 ppm")));
  what.limit_ppm = 50000;
  EXPECT_THAT(std::string(AnswerFermentation(what).status().message()),
              HasSubstr("40000 ppm (US, dangerous to life at once"));
}

TEST(MeasuresAnswerTest, AShareThatIsAPercentageIsToldSo) {
  EXPECT_EQ(AnswerFermentation({.volume_l = 200, .sugar_g_l = 230, .peak_share = 0.003})
                .status()
                .message(),
            "share on the busiest day 0.3 % is outside 5 to 100 %: was 30 meant?");
}

// What an answer shows must be a number, or there is no answer, and the refusal says why.
void ExpectNumbersOrNone(const absl::StatusOr<Answer>& answer) {
  if (!answer.ok()) {
    EXPECT_NE(answer.status().code(), absl::StatusCode::kInternal) << answer.status();
    EXPECT_THAT(std::string(answer.status().message()), Not(HasSubstr("to nan")));
    return;
  }
  for (const Figure& f : answer->figures) {
    EXPECT_TRUE(std::isfinite(f.value) && std::isfinite(f.error)) << f.label;
  }
  for (const std::string& step : answer->working) {
    EXPECT_THAT(step, Not(::testing::ContainsRegex("(^| )-?(nan|inf)( |$)")));
  }
}

TEST(MeasuresAnswerTest, HostileNumbersGiveNumbersOrARefusal) {
  const std::vector<double> numbers = {0,
                                       -1,
                                       0.5,
                                       0.996,
                                       1.0,
                                       1.05,
                                       1.1,
                                       12,
                                       20,
                                       24,
                                       60,
                                       90,
                                       982,
                                       1e12,
                                       -1e12,
                                       std::nan(""),
                                       std::numeric_limits<double>::infinity()};
  for (const double a : numbers) {
    ExpectNumbersOrNone(AnswerBottles(a));
    for (const double b : numbers) {
      ExpectNumbersOrNone(AnswerAlcohol(a, b));
      ExpectNumbersOrNone(AnswerDistillate(a, b));
      ExpectNumbersOrNone(AnswerDistillateDensity(a, b));
      ExpectNumbersOrNone(AnswerDensityWithoutSulfurDioxide(a, b));
      ExpectNumbersOrNone(AnswerResidualSugar(a, b));
      ExpectNumbersOrNone(AnswerRefractometerTemperature(a, b));
      ExpectNumbersOrNone(AnswerRefractometerWithGravity(a, b));
      ExpectNumbersOrNone(AnswerRefractometerWithOriginal(a, b));
      ExpectNumbersOrNone(AnswerFortified(a, b));
      ExpectNumbersOrNone(AnswerFermentation({.volume_l = a, .sugar_g_l = b, .room_m3 = 40}));
      for (const double c : numbers) {
        ExpectNumbersOrNone(
            AnswerHydrometer({.gravity = a, .temperature_c = b, .calibration_c = 20}, c));
        ExpectNumbersOrNone(AnswerDissolvedGas(a, b, c));
        ExpectNumbersOrNone(AnswerUprightCylinder(a, b, c));
        ExpectNumbersOrNone(AnswerLyingCylinder(a, b, c));
        ExpectNumbersOrNone(AnswerBarrel({.bung_cm = a, .head_cm = b, .length_cm = c}, b));
        ExpectNumbersOrNone(AnswerForecast(
            std::vector<GravityReading>{{0, a}, {b, 1.05}, {4, 1.03}, {5, 1.02, c}}, 0.996));
      }
    }
  }
  for (int scale = 0; scale <= static_cast<int>(Scale::kMustSugar); ++scale) {
    for (const double a : numbers) {
      ExpectNumbersOrNone(AnswerScales(static_cast<Scale>(scale), a));
      ExpectNumbersOrNone(AnswerPotentialAlcohol(static_cast<Scale>(scale), a));
    }
  }
}

}  // namespace
}  // namespace rundlet::oenology
