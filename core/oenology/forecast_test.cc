// Goal: the forecast finds the day of courses that are known, says how sure it is, and refuses what
// nobody can tell. Method: readings made from known curves, exact and with an error of a hydrometer
// from a fixed sequence; stuck, not started, too few.
#include "core/oenology/forecast.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace rundlet::oenology {
namespace {

constexpr double kOriginal = 1.095;
constexpr double kFinal = 0.993;
constexpr double kRate = 0.8;
constexpr double kMiddle = 4;
constexpr double kTarget = 1.000;

double True(double day) { return LogisticGravity(kOriginal, kFinal, kRate, kMiddle, day); }

std::vector<GravityReading> Exact(const std::vector<double>& days) {
  std::vector<GravityReading> readings;
  for (const double day : days) readings.push_back({day, True(day)});
  return readings;
}

TEST(ForecastTest, FindsTheDayOfAKnownCourse) {
  const double truth = *LogisticDay(kOriginal, kFinal, kRate, kMiddle, kTarget);
  const absl::StatusOr<Forecast> forecast = ForecastGravity(Exact({0, 1, 2, 3, 4, 5, 6}), kTarget);
  ASSERT_TRUE(forecast.ok()) << forecast.status();
  EXPECT_EQ(forecast->state, FermentationState::kFermenting);
  EXPECT_EQ(forecast->model, ForecastModel::kLogistic);
  ASSERT_TRUE(forecast->day.has_value());
  EXPECT_NEAR(*forecast->day, truth, 0.3);
  EXPECT_LE(forecast->earliest.value_or(0), truth);
  ASSERT_TRUE(forecast->latest.has_value());
  EXPECT_GE(*forecast->latest, truth);
}

TEST(ForecastTest, TheOrderOfReadingsAndTheStartOfTheCountDoNotMatter) {
  std::vector<GravityReading> readings = Exact({0, 1, 2, 3, 4, 5});
  const Forecast straight = *ForecastGravity(readings, kTarget);
  std::reverse(readings.begin(), readings.end());
  EXPECT_DOUBLE_EQ(*ForecastGravity(readings, kTarget)->day, *straight.day);
  for (GravityReading& r : readings) r.day += 1000;
  EXPECT_NEAR(*ForecastGravity(readings, kTarget)->day, *straight.day + 1000, 1e-3);
}

TEST(ForecastTest, MoreReadingsNarrowTheRange) {
  const Forecast early = *ForecastGravity(Exact({0, 1.5, 3}), kTarget);
  const Forecast late = *ForecastGravity(Exact({0, 1, 2, 3, 4, 5, 6}), kTarget);
  ASSERT_TRUE(early.day.has_value());
  ASSERT_TRUE(late.latest.has_value());
  if (early.latest.has_value()) {
    EXPECT_GT(*early.latest - early.earliest.value_or(3), *late.latest - late.earliest.value_or(6));
  }
}

// The range claims two standard errors, so with readings that are off by a thousandth the truth
// should lie inside it in most courses.
TEST(ForecastTest, TheRangeHoldsTheTruthInMostCourses) {
  std::mt19937 random(20240917);
  std::normal_distribution<double> off(0, kReadingError);
  std::uniform_real_distribution<double> uniform(0, 1);
  int inside = 0;
  int told = 0;
  for (int course = 0; course < 200; ++course) {
    const double original = 1.08 + 0.03 * uniform(random);
    const double final = 0.991 + 0.005 * uniform(random);
    const double rate = 0.4 + 0.8 * uniform(random);
    const double middle = 3 + 2 * uniform(random);
    std::vector<GravityReading> readings;
    for (double day = 0; day <= middle + 1.5; day += 1) {
      readings.push_back({day, LogisticGravity(original, final, rate, middle, day) + off(random)});
    }
    const absl::StatusOr<Forecast> forecast = ForecastGravity(readings, 1.000);
    ASSERT_TRUE(forecast.ok());
    if (!forecast->day.has_value()) continue;
    ++told;
    const double truth = *LogisticDay(original, final, rate, middle, 1.000);
    inside += forecast->earliest.value_or(0) <= truth && truth <= forecast->latest.value_or(1e9);
  }
  EXPECT_GE(told, 190);
  EXPECT_GE(inside, told * 8 / 10);
}

TEST(ForecastTest, ReadingsPastTheFastestDayGiveATail) {
  std::vector<GravityReading> readings;
  for (double day = 6; day <= 10; day += 1) {
    readings.push_back({day, 0.994 + 0.026 * std::exp(-0.5 * (day - 6))});
  }
  const absl::StatusOr<Forecast> forecast = ForecastGravity(readings, 0.996);
  ASSERT_TRUE(forecast.ok()) << forecast.status();
  EXPECT_EQ(forecast->model, ForecastModel::kTail);
  ASSERT_TRUE(forecast->day.has_value());
  EXPECT_NEAR(*forecast->day, 11.13, 0.5);
}

// A course that slows more than a logistic does, as real ones do: it must not be taken for one that
// ends above dryness.
TEST(ForecastTest, ADraggingEndIsFollowedByATail) {
  const std::vector<GravityReading> readings = {{0, 1.090}, {2, 1.070}, {3, 1.050},  {4, 1.034},
                                                {5, 1.020}, {6, 1.011}, {7, 1.0045}, {8, 1.001}};
  const Forecast forecast = *ForecastGravity(readings, 0.996);
  EXPECT_EQ(forecast.model, ForecastModel::kTail);
  ASSERT_TRUE(forecast.day.has_value());
  EXPECT_GT(*forecast.day, 9);
  EXPECT_LT(*forecast.day, 14);
}

TEST(ForecastTest, WhereItWouldEndAboveTheDayIsConditional) {
  const std::vector<GravityReading> readings = {
      {0, 1.09}, {2, 1.07}, {3, 1.05}, {4, 1.034}, {5, 1.02}};
  const Forecast forecast = *ForecastGravity(readings, 0.996);
  ASSERT_TRUE(forecast.day.has_value());
  ASSERT_TRUE(forecast.ends_above.has_value());
  EXPECT_GT(*forecast.ends_above, 0.9955);
  EXPECT_LE(forecast.final, 0.994);
  EXPECT_FALSE(forecast.latest.has_value());
}

TEST(ForecastTest, StuckIsToldApart) {
  const absl::StatusOr<Forecast> stuck = ForecastGravity(
      std::vector<GravityReading>{
          {0, 1.095}, {3, 1.050}, {5, 1.024}, {6, 1.0205}, {7, 1.0200}, {8, 1.0200}},
      0.996);
  ASSERT_TRUE(stuck.ok());
  EXPECT_EQ(stuck->state, FermentationState::kStuck);
  EXPECT_FALSE(stuck->day.has_value());
  const Forecast rest = *ForecastGravity(
      std::vector<GravityReading>{{0, 1.09}, {5, 1.01}, {8, 0.9985}, {10, 0.998}, {12, 0.998}},
      0.996);
  EXPECT_EQ(rest.state, FermentationState::kAtRest);
  const Forecast asleep =
      *ForecastGravity(std::vector<GravityReading>{{0, 1.095}, {0.5, 1.095}, {1, 1.094}}, 0.996);
  EXPECT_EQ(asleep.state, FermentationState::kNotStarted);
  const Forecast done =
      *ForecastGravity(std::vector<GravityReading>{{0, 1.09}, {5, 1.01}, {9, 0.995}}, 0.996);
  EXPECT_EQ(done.state, FermentationState::kReached);
}

// Goal: a target above which the last reading stands is never reached now. Method: courses that end
// faster than their own last reading says, for many spacings and targets.
TEST(ForecastTest, TheDayLiesAfterTheLastReading) {
  int told = 0;
  for (const std::vector<double>& gravities : {std::vector<double>{1.090, 1.050, 1.010, 0.998},
                                               {1.090, 1.060, 1.020, 1.001},
                                               {1.100, 1.040, 1.000, 0.9965},
                                               {1.090, 1.050, 1.004},
                                               {1.080, 1.079, 1.005, 1.0005},
                                               {1.020, 1.010, 1.004, 1.001}}) {
    for (const double every : {0.5, 1.0, 2.0, 3.0, 7.0}) {
      for (const double target : {0.994, 0.996, 1.000}) {
        std::vector<GravityReading> readings;
        for (const double g : gravities) {
          readings.push_back({every * static_cast<double>(readings.size()), g});
        }
        const absl::StatusOr<Forecast> forecast = ForecastGravity(readings, target);
        ASSERT_TRUE(forecast.ok()) << forecast.status();
        const double last_day = readings.back().day;
        if (gravities.back() <= target) {
          EXPECT_EQ(forecast->state, FermentationState::kReached);
          continue;
        }
        if (!forecast->day.has_value()) continue;
        ++told;
        EXPECT_GE(*forecast->day, last_day + kLeastAheadDays);
        EXPECT_GE(forecast->error_days, kLeastAheadDays);
        if (forecast->earliest.has_value()) {
          EXPECT_GT(*forecast->earliest, last_day);
          EXPECT_LT(*forecast->earliest, *forecast->day);
        }
        if (forecast->latest.has_value()) {
          EXPECT_GE(*forecast->latest, *forecast->day + kLeastAheadDays);
        }
      }
    }
  }
  EXPECT_GT(told, 30);
}

TEST(ForecastTest, RisingReadingsGiveNone) {
  const Forecast rising =
      *ForecastGravity(std::vector<GravityReading>{{0, 1.010}, {2, 1.030}, {4, 1.020}}, 0.996);
  EXPECT_EQ(rising.state, FermentationState::kRising);
  EXPECT_FALSE(rising.day.has_value());
  EXPECT_EQ(rising.rise_from, 1.010);
  EXPECT_EQ(rising.rise_to, 1.030);
  const Forecast at_last = *ForecastGravity(
      std::vector<GravityReading>{{0, 1.090}, {2, 1.050}, {4, 1.030}, {5, 1.040}}, 0.996);
  EXPECT_EQ(at_last.state, FermentationState::kRising);
  // A thousandth or two is an error of reading.
  const Forecast falls = *ForecastGravity(
      std::vector<GravityReading>{{0, 1.090}, {1, 1.092}, {3, 1.060}, {5, 1.030}}, 0.996);
  EXPECT_EQ(falls.state, FermentationState::kFermenting);
}

TEST(ForecastTest, WhatIsReachedNamesTheReading) {
  const Forecast done = *ForecastGravity(
      std::vector<GravityReading>{{1, 1.090}, {5, 1.010}, {9, 0.9955}, {12, 0.994}}, 0.996);
  EXPECT_EQ(done.state, FermentationState::kReached);
  EXPECT_FALSE(done.day.has_value());
  EXPECT_EQ(done.reached_day, 9);
  EXPECT_EQ(done.reached_gravity, 0.9955);
  EXPECT_EQ(done.above_day, 5);
  const Forecast always =
      *ForecastGravity(std::vector<GravityReading>{{1, 0.995}, {5, 0.995}, {9, 0.995}}, 0.996);
  EXPECT_EQ(always.reached_day, 1);
  EXPECT_FALSE(always.above_day.has_value());
}

TEST(ForecastTest, NoneFromFewerThanThreeReadings) {
  for (const std::vector<GravityReading>& few :
       {std::vector<GravityReading>{}, Exact({0}), Exact({0, 2}), Exact({0, 0, 2, 2}),
        Exact({0, 0.1, 0.2})}) {
    EXPECT_EQ(ForecastGravity(few, kTarget).status().code(), absl::StatusCode::kFailedPrecondition);
  }
  EXPECT_EQ(ForecastGravity(Exact({0, 2}), kTarget).status().message(),
            "a forecast needs at least three readings at different times, and there are 2: take "
            "another reading");
}

TEST(ForecastTest, ATargetBelowTheEndIsNotPromised) {
  const absl::StatusOr<Forecast> forecast = ForecastGravity(Exact({0, 1, 2, 3, 4, 5, 6, 7}), 0.989);
  ASSERT_TRUE(forecast.ok());
  EXPECT_FALSE(forecast->day.has_value() && forecast->latest.has_value());
}

TEST(ForecastTest, OddReadingsGiveNumbersOrNothing) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> day(0, 30);
  std::uniform_real_distribution<double> gravity(0.97, 1.19);
  for (int i = 0; i < 300; ++i) {
    std::vector<GravityReading> readings;
    for (int n = 0; n < 3 + i % 10; ++n) readings.push_back({day(random), gravity(random)});
    const absl::StatusOr<Forecast> forecast = ForecastGravity(readings, 0.996);
    if (!forecast.ok()) continue;
    for (const double value :
         {forecast->drop_per_day, forecast->original, forecast->final, forecast->rate_per_day,
          forecast->middle_day, forecast->residual, forecast->day.value_or(0),
          forecast->earliest.value_or(0), forecast->latest.value_or(0), forecast->error_days}) {
      EXPECT_TRUE(std::isfinite(value));
    }
    if (forecast->day.has_value()) {
      EXPECT_GT(forecast->error_days, 0);
    }
  }
}

}  // namespace
}  // namespace rundlet::oenology
