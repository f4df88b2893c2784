// Goal: the ways to alcohol from gravities are monotone, close their balances and know their
// limits. Method: grids over original and present gravity.
#include "core/oenology/alcohol.h"

#include <gtest/gtest.h>

#include "core/oenology/must.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

TEST(AlcoholTest, FallingGravityMeansRisingAlcohol) {
  for (double original = 1.05; original <= 1.13; original += 0.01) {
    double factor = -1;
    double balling = -1;
    double extract = -1;
    for (double present = original; present >= 0.99; present -= 0.002) {
      const absl::StatusOr<AlcoholSpread> all = AlcoholSideBySide(original, present);
      ASSERT_TRUE(all.ok()) << all.status();
      EXPECT_GT(all->by_factor, factor);
      EXPECT_GT(all->by_balling.alcohol_pct, balling);
      ASSERT_TRUE(all->by_extract.has_value());
      EXPECT_GE(*all->by_extract, extract);
      factor = all->by_factor;
      balling = all->by_balling.alcohol_pct;
      extract = *all->by_extract;
      EXPECT_LE(all->low, all->middle);
      EXPECT_LE(all->middle, all->high);
      EXPECT_LT(all->high - all->low, 2.5);
    }
  }
}

TEST(AlcoholTest, NothingFermentedIsNoAlcohol) {
  EXPECT_NEAR(*AlcoholByFactor(1.09, 1.09), 0, 1e-9);
  EXPECT_NEAR(AlcoholByBalling(1.09, 1.09)->alcohol_pct, 0, 1e-9);
  EXPECT_NEAR(*AlcoholByExtract(1.09, 1.09), 0, 0.2);
}

TEST(AlcoholTest, TheSugarBalanceCloses) {
  for (double present = 0.990; present <= 1.02; present += 0.002) {
    const double sugar = *MustSugarGL(1.1 * kWater20KgM3);
    const double alcohol = *AlcoholFromMustSugar(sugar, present, 25);
    EXPECT_NEAR(alcohol * 16.83 + *ExtractGL(present, alcohol), sugar + 25, 1e-6);
  }
}

TEST(AlcoholTest, ExtractRisesWithGravityAndWithAlcohol) {
  EXPECT_GT(*ExtractGL(0.998, 12), *ExtractGL(0.996, 12));
  EXPECT_GT(*ExtractGL(0.996, 13), *ExtractGL(0.996, 12));
  EXPECT_NEAR(*ExtractGL(1, 0), 0, 0.02);
}

TEST(AlcoholTest, ResidualSugarIsNeverBelowNothing) {
  EXPECT_EQ(*ResidualSugarGL(0.985, 10), 0);
  EXPECT_NEAR(*ResidualSugarGL(1.02, 10) + 25, *ExtractGL(1.02, 10), 1e-9);
}

TEST(AlcoholTest, TheWrongWayRoundIsNoticed) {
  const absl::StatusOr<double> turned = AlcoholByFactor(0.996, 1.1);
  EXPECT_EQ(turned.status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(
      turned.status().message(),
      "present SG 1.1 is above the original SG 0.996: were they written the wrong way round?");
}

TEST(AlcoholTest, OutsideItsRangeARelationIsLeftOut) {
  EXPECT_EQ(AlcoholByCutaia(1.1, 0.996).status().code(), absl::StatusCode::kOutOfRange);
  EXPECT_TRUE(AlcoholByCutaia(1.05, 1.01).ok());
  const absl::StatusOr<AlcoholSpread> light = AlcoholSideBySide(1.03, 1.0);
  ASSERT_TRUE(light.ok());
  EXPECT_FALSE(light->by_extract.has_value());
}

TEST(AlcoholTest, ConventionsOfPotentialAlcoholAreOrdered) {
  double before = 0;
  for (const SugarYield yield : {SugarYield::kFrench175, SugarYield::kCommon17, SugarYield::kEu1683,
                                 SugarYield::kHigh165, SugarYield::kTheory1543}) {
    const double alcohol = *PotentialAlcohol(230, yield);
    EXPECT_GT(alcohol, before);
    before = alcohol;
  }
}

}  // namespace
}  // namespace rundlet::oenology
