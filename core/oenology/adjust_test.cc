// Goal: sugar, concentrate, water and spirit: the balances of mass, sugar and ethanol close, and no
// number that comes out is none.
// Method: what was added is put back through the densities; hostile numbers everywhere.
#include "core/oenology/adjust.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/oenology/ethanol.h"
#include "core/oenology/sucrose.h"

namespace rundlet::oenology {
namespace {

double SugarKg(double volume_l, double brix) {
  return volume_l * *SucroseDensity(brix, 20) * brix / 1e5;
}

TEST(AdjustTest, SugarBalanceCloses) {
  for (double from = 5; from < 25; from += 2.5) {
    for (double to = from + 0.5; to < 30; to += 3) {
      const Adjustment sugar = *SugarToBrix(100, from, to);
      EXPECT_NEAR(SugarKg(100, from) + sugar.added_kg, SugarKg(sugar.volume_l, to), 1e-9);
      const Adjustment water = *WaterToBrix(100, to, from);
      EXPECT_NEAR(SugarKg(100, to), SugarKg(water.volume_l, from), 1e-9);
      const Adjustment syrup = *ConcentrateToBrix(100, from, to, 68);
      EXPECT_NEAR(SugarKg(100, from) + SugarKg(syrup.added_l, 68), SugarKg(syrup.volume_l, to),
                  1e-9);
      EXPECT_GT(syrup.added_kg, sugar.added_kg);
    }
  }
}

TEST(AdjustTest, MakeUpBothWaysIsTheSame) {
  for (double brix = 10; brix < 60; brix += 7) {
    const MakeUp wanted = *MakeUpToBrix(23, brix, 68);
    const MakeUp there = *MakeUpToVolume(wanted.concentrate_l, 68, 23);
    EXPECT_NEAR(there.brix, brix, 1e-9);
    EXPECT_NEAR(there.water_l, wanted.water_l, 1e-9);
    EXPECT_GE(wanted.concentrate_l + wanted.water_l, 23 - 1e-9);
  }
  EXPECT_NEAR(MakeUpToVolume(10, 68, 10)->water_l, 0, 1e-9);
}

TEST(AdjustTest, SpiritBalanceClosesAndTheSquareIsNear) {
  for (double wine = 8; wine < 15; wine += 1.5) {
    for (double target = wine + 1; target < 22; target += 2) {
      const SpiritDose dose = *SpiritToStrength(100, wine, 96, target);
      const SpiritMix mix = *MixStrengths(100, wine, dose.added_l, 96);
      EXPECT_NEAR(mix.strength_pct, target, 1e-6);
      EXPECT_NEAR(mix.volume_l, dose.volume_l, 1e-6);
      // Ethanol is neither made nor lost: % vol x L is its volume by itself.
      EXPECT_NEAR(mix.strength_pct * mix.volume_l, 100 * wine + 96 * dose.added_l, 1e-4);
      EXPECT_GT(mix.shrinkage_l, 0);
      EXPECT_NEAR(dose.square_l, dose.added_l, 0.03 * dose.added_l);
    }
  }
}

TEST(AdjustTest, WaterLowersASpirit) {
  const SpiritDose dose = *SpiritToStrength(1, 96, 0, 40);
  EXPECT_NEAR(MixStrengths(1, 96, dose.added_l, 0)->strength_pct, 40, 1e-6);
}

TEST(AdjustTest, SugarForAlcoholHitsItsRise) {
  const Adjustment sugar = *SugarForAlcohol(100, 10, 2, kSugarForOnePct);
  const double hexose_g = sugar.added_kg * 1000 * 1.05263;
  EXPECT_NEAR((100 * 10 + hexose_g / kSugarForOnePct) / sugar.volume_l, 12, 0.001);
  EXPECT_DOUBLE_EQ(SugarForAlcohol(100, 10, 0, kSugarForOnePct)->added_kg, 0);
}

TEST(AdjustTest, NonsenseIsRefused) {
  EXPECT_FALSE(SugarToBrix(100, 24, 20).ok());
  EXPECT_FALSE(WaterToBrix(100, 20, 24).ok());
  EXPECT_FALSE(ConcentrateToBrix(100, 20, 24, 22).ok());
  EXPECT_FALSE(SpiritToStrength(100, 12, 15, 18).ok());
  EXPECT_FALSE(MakeUpToVolume(30, 68, 23).ok());
  EXPECT_FALSE(MakeUpToBrix(23, 70, 68).ok());
  // So near that the answer is a sea.
  EXPECT_FALSE(SpiritToStrength(1e6, 12, std::nextafter(18.0, 19.0), 18).ok());
  for (const double bad : {-1.0, 1e308, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    EXPECT_FALSE(SugarToBrix(bad, 20, 24).ok());
    EXPECT_FALSE(SugarToBrix(100, bad, 24).ok());
    EXPECT_FALSE(SugarToBrix(100, 20, bad).ok());
    EXPECT_FALSE(SugarForAlcohol(100, bad, 2, 17).ok());
    EXPECT_FALSE(SugarForAlcohol(100, 10, bad, 17).ok());
    EXPECT_FALSE(SugarForAlcohol(100, 10, 2, bad).ok());
    EXPECT_FALSE(ConcentrateToBrix(100, 20, 24, bad).ok());
    EXPECT_FALSE(WaterToBrix(100, bad, 20).ok());
    EXPECT_FALSE(MakeUpToVolume(bad, 68, 23).ok());
    EXPECT_FALSE(MakeUpToBrix(23, bad, 68).ok());
    EXPECT_FALSE(MixStrengths(100, bad, 10, 96).ok());
    EXPECT_FALSE(MixStrengths(100, 12, bad, 96).ok());
    EXPECT_FALSE(SpiritToStrength(100, bad, 96, 18).ok());
    EXPECT_FALSE(SpiritToStrength(100, 12, 96, bad).ok());
  }
}

}  // namespace
}  // namespace rundlet::oenology
