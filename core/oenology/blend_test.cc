// Goal: a blend that is found fulfils what was asked and is no worse than any other; one that is
// not possible is refused with the bounds that exclude each other. Method: cases worked by hand,
// and random problems against a fine grid of all blends.
#include "core/oenology/blend.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace rundlet::oenology {
namespace {

BlendGoal Alcohol() { return {.name = "alcohol", .unit = "% vol"}; }
BlendGoal Acidity() { return {.name = "acidity", .unit = "g/L"}; }

// Invented wines of the Thistledown Wine Circle.
BlendAsked TwoReds() {
  BlendAsked asked{.volume_l = 100};
  asked.wines = {{"North Slope", 80, 0, 2, {12.0, 7.0}}, {"Old Wall", 80, 0, 5, {14.0, 5.0}}};
  asked.goals = {Alcohol(), Acidity()};
  return asked;
}

TEST(BlendTest, ATargetIsHit) {
  BlendAsked asked = TwoReds();
  asked.goals[0].target = 13.2;
  asked.goals[1].high = 6.5;
  const auto found = SolveBlend(asked);
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_NEAR(found->volumes_l[0], 40, 1e-4);
  EXPECT_NEAR(found->volumes_l[1], 60, 1e-4);
  EXPECT_NEAR(found->values[0], 13.2, 1e-6);
  EXPECT_NEAR(found->values[1], 5.8, 1e-6);
  EXPECT_NEAR(found->miss, 0, 1e-6);
  EXPECT_NEAR(found->cost, 40 * 2 + 60 * 5, 1e-3);
}

TEST(BlendTest, ATargetOutOfReachIsMissedByTheLeast) {
  BlendAsked asked = TwoReds();
  asked.goals[0].target = 15;
  asked.goals[1].low = 5.2;
  const auto found = SolveBlend(asked);
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_NEAR(found->volumes_l[1], 80, 1e-4);  // all that there is
  EXPECT_NEAR(found->miss, 15 - 13.6, 1e-6);
}

TEST(BlendTest, LeastCostWithinBounds) {
  BlendAsked asked = TwoReds();
  asked.aim = BlendAim::kLeastCost;
  asked.goals[0].low = 12.5;
  asked.goals[1].high = 7;
  const auto found = SolveBlend(asked);
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_NEAR(found->volumes_l[1], 25, 1e-4);  // no more of the dear one than it takes
}

TEST(BlendTest, OfEquallyCloseBlendsTheCheapest) {
  BlendAsked asked{.volume_l = 10};
  asked.goals = {Alcohol()};
  asked.goals[0].target = 13;
  asked.wines = {{"dear", 10, 0, 9, {13.0}}, {"cheap", 10, 0, 1, {13.0}}};
  const auto found = SolveBlend(asked);
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_NEAR(found->volumes_l[1], 10, 1e-4);
}

TEST(BlendTest, BoundsThatExcludeEachOtherAreNamedAndNoOthers) {
  BlendAsked asked = TwoReds();
  asked.goals.push_back({.name = "total SO2", .unit = "mg/L", .decimals = 0, .high = 150});
  for (BlendWine& wine : asked.wines) wine.values.push_back(90);
  asked.goals[0].low = 13.5;
  asked.goals[1].low = 6.0;
  const auto found = SolveBlend(asked);
  ASSERT_EQ(found.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(found.status().message(),
            "no blend of 100.00 L fulfils all of this: alcohol at least 13.5 % vol; acidity at "
            "least 6.0 g/L. alcohol can be brought from 12.4 to 13.6 % vol with these wines; "
            "acidity can be brought from 5.4 to 6.6 g/L with these wines. Loosen one of them.");
}

TEST(BlendTest, WhatTheWinesThemselvesRuleOutGoesFirst) {
  // So much of the strong wine would leave too little acid; but there is not enough of it anyway.
  BlendAsked asked = TwoReds();
  asked.goals[0].low = 13.9;
  asked.goals[1].low = 5.5;
  const auto found = SolveBlend(asked);
  ASSERT_EQ(found.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(
      found.status().message(),
      "no blend of 100.00 L fulfils all of this: alcohol at least 13.9 % vol; at most 80.00 "
      "L of Old Wall. alcohol can be brought from 12.4 to 13.6 % vol with these wines. Loosen "
      "one of them.");
}

TEST(BlendTest, TooLittleWineIsNamed) {
  BlendAsked asked = TwoReds();
  asked.volume_l = 200;
  asked.goals[0].target = 13;
  asked.goals[1].high = 7;
  const auto found = SolveBlend(asked);
  ASSERT_EQ(found.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(found.status().message(),
            "no blend of 200.00 L fulfils all of this: at most 80.00 L of North Slope; at most "
            "80.00 L of Old Wall. Loosen one of them.");
}

TEST(BlendTest, NoBlendOfAFineGridIsBetter) {
  std::mt19937 random(20241103);  // always the same wines
  std::uniform_real_distribution<double> alcohol(11, 15);
  std::uniform_real_distribution<double> acidity(4, 9);
  std::uniform_real_distribution<double> litres(20, 100);
  int possible = 0;
  for (int round = 0; round < 40; ++round) {
    BlendAsked asked{.volume_l = 100};
    for (int i = 0; i < 3; ++i) {
      asked.wines.push_back(
          {std::string(1, "abc"[i]), litres(random), 0, 0, {alcohol(random), acidity(random)}});
    }
    asked.goals = {Alcohol(), Acidity()};
    asked.goals[0].target = alcohol(random);
    asked.goals[0].scale = 0.5;
    asked.goals[1].target = acidity(random);
    asked.goals[1].low = 5.5;
    double best = 1e9;
    for (int x = 0; x <= 100; ++x) {
      for (int y = 0; x + y <= 100; ++y) {
        const double v[] = {double(x), double(y), 100.0 - x - y};
        double value[2] = {};
        bool there = true;
        for (int i = 0; i < 3; ++i) {
          there = there && v[i] <= asked.wines[i].available_l;
          for (int g = 0; g < 2; ++g) value[g] += v[i] / 100 * *asked.wines[i].values[g];
        }
        if (!there || value[1] < 5.5) continue;
        best = std::min(best, std::fabs(value[0] - *asked.goals[0].target) / 0.5 +
                                  std::fabs(value[1] - *asked.goals[1].target));
      }
    }
    const auto found = SolveBlend(asked);
    if (!found.ok()) {
      EXPECT_EQ(best, 1e9) << found.status();
      continue;
    }
    ++possible;
    EXPECT_LE(found->miss, best + 1e-6);
    EXPECT_GE(found->values[1], 5.5 - 1e-5);
    double sum = 0;
    for (int i = 0; i < 3; ++i) {
      EXPECT_LE(found->volumes_l[i], asked.wines[i].available_l + 1e-4);
      sum += found->volumes_l[i];
    }
    EXPECT_NEAR(sum, 100, 1e-4);
  }
  EXPECT_GT(possible, 20);
}

TEST(BlendTest, AlcoholByMassKeepsTheEthanol) {
  // Weak wines grow by a trace when they meet, a wine and a spirit shrink.
  const double volumes[] = {60, 40};
  const double wines[] = {12, 20};
  const auto of_wines = BlendAlcoholByMass(volumes, wines);
  EXPECT_DOUBLE_EQ(*BlendMean(volumes, wines), 15.2);
  EXPECT_NEAR(of_wines->alcohol_pct, 15.2, 0.005);
  EXPECT_GT(of_wines->volume_l, 100);
  EXPECT_NEAR(of_wines->alcohol_pct * of_wines->volume_l, 15.2 * 100, 1e-4);
  const double with_spirit[] = {12, 96};
  const auto fortified = BlendAlcoholByMass(volumes, with_spirit);
  EXPECT_LT(fortified->volume_l, 98.5);
  EXPECT_NEAR(fortified->alcohol_pct * fortified->volume_l, 60 * 12 + 40 * 96, 1e-3);
}

TEST(BlendTest, NonsenseIsRefused) {
  BlendAsked unknown = TwoReds();
  unknown.goals[0].target = 13;
  unknown.goals[1].high = 7;
  unknown.wines[1].values[1].reset();
  EXPECT_EQ(SolveBlend(unknown).status().message(), "Old Wall has no reading of acidity: take one");
  EXPECT_FALSE(SolveBlend({}).ok());
  EXPECT_FALSE(SolveBlend(TwoReds()).ok());  // nothing asked of the goals
  const double none[] = {0, 0};
  EXPECT_FALSE(BlendMean(none, none).ok());
  EXPECT_FALSE(BlendMean({}, {}).ok());
  for (const double bad : {-1.0, 1e308, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    BlendAsked asked = TwoReds();
    asked.goals[0].target = 13;
    asked.goals[1].high = 7;
    BlendAsked volume = asked;
    volume.volume_l = bad;
    EXPECT_FALSE(SolveBlend(volume).ok());
    BlendAsked target = asked;
    target.goals[0].target = bad;
    EXPECT_FALSE(SolveBlend(target).ok());
    BlendAsked reading = asked;
    reading.wines[0].values[0] = bad;
    EXPECT_FALSE(SolveBlend(reading).ok());
    BlendAsked cost = asked;
    cost.wines[0].cost_per_l = bad;
    EXPECT_FALSE(SolveBlend(cost).ok());
  }
}

}  // namespace
}  // namespace rundlet::oenology
