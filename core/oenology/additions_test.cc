// Goal: sorbate, finings, nutrient and topping do as nature and their tables do.
// Method: monotone where nature is, inverses, edges of tables, hostile numbers.
#include <gtest/gtest.h>

#include <limits>
#include <set>

#include "core/oenology/fining.h"
#include "core/oenology/sorbate.h"
#include "core/oenology/topping.h"
#include "core/oenology/yeast.h"

namespace rundlet::oenology {
namespace {

constexpr double kHostile[] = {-1, 1e308, std::numeric_limits<double>::quiet_NaN(),
                               std::numeric_limits<double>::infinity()};

TEST(SorbateTest, FallsWithAlcoholAndRisesWithPh) {
  for (double a = 10; a < 13.9; a += 0.31) {
    for (double p = 3.1; p < 3.49; p += 0.03) {
      const double here = SorbateFor(a, p)->sorbate_mg_l;
      EXPECT_LT(SorbateFor(a + 0.1, p)->sorbate_mg_l, here);
      EXPECT_GT(SorbateFor(a, p + 0.01)->sorbate_mg_l, here);
      EXPECT_FALSE(SorbateFor(a, p)->clamped);
    }
  }
}

TEST(SorbateTest, IsClampedAndSaysSo) {
  EXPECT_DOUBLE_EQ(SorbateFor(14, 3.5)->sorbate_mg_l, 90);
  EXPECT_FALSE(SorbateFor(14, 3.5)->clamped);
  EXPECT_DOUBLE_EQ(SorbateFor(8, 3.8)->sorbate_mg_l, 270);
  EXPECT_TRUE(SorbateFor(8, 3.8)->clamped);
  for (const double bad : kHostile) {
    EXPECT_FALSE(SorbateFor(bad, 3.3).ok());
    EXPECT_FALSE(SorbateFor(12, bad).ok());
    EXPECT_FALSE(SorbicAcidByAlcohol(bad).ok());
  }
}

TEST(FiningTest, EveryOneHasARangeAndASource) {
  std::set<Fining> seen;
  for (const FiningRange& range : FiningRanges()) {
    EXPECT_TRUE(seen.insert(range.fining).second);
    EXPECT_EQ(&RangeOf(range.fining), &range);
    EXPECT_GT(range.low_mg_l, 0);
    EXPECT_GT(range.high_mg_l, range.low_mg_l);
    EXPECT_FALSE(range.source.empty());
  }
  EXPECT_EQ(seen.size(), 11u);
}

TEST(FiningTest, ATrialScaledUpHasTheSameConcentration) {
  const TrialDose dose = *ScaleUp({5, 0.8, 100}, 54);
  EXPECT_NEAR(dose.dose_mg_l, 400, 1e-9);
  EXPECT_NEAR(dose.mass_g, *FiningMass(dose.dose_mg_l, 54), 1e-9);
  EXPECT_NEAR(dose.stock_ml * 5 / 100, dose.mass_g, 1e-9);
  EXPECT_FALSE(ScaleUp({5, 60, 50}, 54).ok());
}

TEST(FiningTest, SolAndCopperAreInverse) {
  EXPECT_NEAR(*SilicaOfSol(*SilicaSolMl(150, 30, 100), 30), 150, 1e-9);
  EXPECT_NEAR(*CopperOfSulfate(*CopperSulfateMg(0.3, 54), 54), 0.3, 1e-12);
}

TEST(FiningTest, BentoniteHoldsItsWater) {
  const Slurry slurry = *BentoniteSlurry(50, 6, 100);
  EXPECT_NEAR(slurry.water_l, 0.8333, 1e-4);
  EXPECT_NEAR(slurry.water_share_pct, 0.8333, 1e-4);
  EXPECT_GT(BentoniteSlurry(50, 5, 100)->water_l, slurry.water_l);
}

TEST(FiningTest, NonsenseIsRefused) {
  for (const double bad : kHostile) {
    EXPECT_FALSE(FiningMass(bad, 20).ok());
    EXPECT_FALSE(FiningMass(300, bad).ok());
    EXPECT_FALSE(BentoniteSlurry(bad, 5, 20).ok());
    EXPECT_FALSE(BentoniteSlurry(10, bad, 20).ok());
    EXPECT_FALSE(ScaleUp({bad, 1, 100}, 20).ok());
    EXPECT_FALSE(ScaleUp({5, bad, 100}, 20).ok());
    EXPECT_FALSE(ScaleUp({5, 1, bad}, 20).ok());
    EXPECT_FALSE(SilicaSolMl(bad, 30, 20).ok());
    EXPECT_FALSE(SilicaOfSol(bad, 30).ok());
    EXPECT_FALSE(CopperSulfateMg(bad, 20).ok());
    EXPECT_FALSE(CopperOfSulfate(bad, 20).ok());
    EXPECT_FALSE(YanTargetFor(bad).ok());
    EXPECT_FALSE(NutrientForRise(bad, 20, kNitrogenOfDap).ok());
    EXPECT_FALSE(RiseOfNutrient(bad, 20, kNitrogenOfDap).ok());
    EXPECT_FALSE(NutrientForRise(50, 20, bad).ok());
    EXPECT_FALSE(InoculumFor(bad, 25).ok());
    EXPECT_FALSE(InoculumFor(20, bad).ok());
    EXPECT_FALSE(UllageL(bad, 20).ok());
    EXPECT_FALSE(UllageL(20, bad).ok());
  }
}

TEST(YeastTest, NutrientIsInverseAndTheTargetRises) {
  EXPECT_NEAR(*RiseOfNutrient(*NutrientForRise(80, 54, kNitrogenOfDap), 54, kNitrogenOfDap), 80,
              1e-9);
  EXPECT_LT(YanTargetFor(22)->yan_mg_l, YanTargetFor(24)->yan_mg_l);
  EXPECT_TRUE(YanTargetFor(18)->clamped);
  EXPECT_FALSE(YanTargetFor(27)->clamped);
}

TEST(ToppingTest, TheSameWineComesFirst) {
  EXPECT_DOUBLE_EQ(*UllageL(20, 19.25), 0.75);
  EXPECT_DOUBLE_EQ(*UllageL(20, 20.05), 0);  // a gauge reads a little more than full
  const ToppingWine wine{"vessel 3", "24R", "red", 19.25, 13.5, 1.0};
  const std::vector<ToppingWine> candidates = {
      {"a white", "24W", "white", 30, 12.0, 2.0},
      {"another red, weaker", "23R", "red", 30, 12.5, 1.0},
      {"nothing left", "24R", "red", 0, 13.5, 1.0},
      {"the same, too little", "24R", "red", 0.3, 13.5, 1.0},
      {"the same", "24R", "red", 5, {}, {}},
      {"unknown", "", "", 5, {}, {}},
      {"another red", "23R2", "red", 30, 13.4, 1.0},
  };
  const std::vector<ToppingChoice> order = RankTopping(wine, 0.75, candidates);
  ASSERT_EQ(order.size(), 6u);
  EXPECT_EQ(order[0].name, "the same");
  EXPECT_TRUE(order[0].enough);
  EXPECT_EQ(order[1].name, "the same, too little");
  EXPECT_FALSE(order[1].enough);
  EXPECT_EQ(order[2].name, "another red");
  EXPECT_EQ(order[3].name, "another red, weaker");
  EXPECT_EQ(order[3].difference, "other lot; 1.0 % vol weaker");
  EXPECT_EQ(order[5].name, "a white");
}

}  // namespace
}  // namespace rundlet::oenology
