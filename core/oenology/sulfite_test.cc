// Goal: sulfur dioxide is reckoned right in the range of its sources and refused outside.
// Method: inverses, order, edges of the table, hostile numbers.
#include "core/oenology/sulfite.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace rundlet::oenology {
namespace {

constexpr double kHostile[] = {-1e308,
                               -1,
                               1e308,
                               std::numeric_limits<double>::quiet_NaN(),
                               std::numeric_limits<double>::infinity(),
                               -std::numeric_limits<double>::infinity()};

TEST(SulfiteTest, PkRisesWithTemperatureAndAlcohol) {
  for (double t = 20; t < 40; t += 0.7) {
    for (double a = 0; a < 15; a += 0.7) {
      const double here = Pk1OfSo2(t, a)->pk;
      EXPECT_GT(Pk1OfSo2(t + 0.3, a)->pk, here) << t << " " << a;
      EXPECT_GT(Pk1OfSo2(t, a + 0.3)->pk, here) << t << " " << a;
    }
  }
}

TEST(SulfiteTest, PkIsClampedAndSaysSo) {
  EXPECT_FALSE(Pk1OfSo2(20, 15)->clamped);
  EXPECT_FALSE(Pk1OfSo2(40, 0)->clamped);
  EXPECT_TRUE(Pk1OfSo2(12, 13)->clamped);
  EXPECT_DOUBLE_EQ(Pk1OfSo2(12, 13)->pk, Pk1OfSo2(20, 13)->pk);
  EXPECT_DOUBLE_EQ(Pk1OfSo2(25, 19)->pk, Pk1OfSo2(25, 15)->pk);
}

TEST(SulfiteTest, FreeAndMolecularAreInverse) {
  for (double ph = 2.5; ph <= 4.5; ph += 0.1) {
    double before = 1e9;
    for (double pk = 1.7; pk < 2.8; pk += 0.2) {
      const double free_mg_l = *FreeForMolecularSo2(0.8, ph, pk);
      EXPECT_NEAR(*MolecularSo2(std::min(free_mg_l, 1000.0), ph, pk),
                  std::min(0.8, 0.8 * 1000 / free_mg_l), 1e-12);
      EXPECT_LT(free_mg_l, before);
      before = free_mg_l;
    }
  }
}

TEST(SulfiteTest, UnitsAndRiseAreInverseForEveryMaterial) {
  for (const SulfiteSalt salt :
       {SulfiteSalt::kPotassiumMetabisulfite, SulfiteSalt::kSodiumMetabisulfite}) {
    for (const SulfiteForm form :
         {SulfiteForm::kPowder, SulfiteForm::kSolution, SulfiteForm::kTablets}) {
      const SulfiteMaterial material{salt, form, 0, 10, 0.44};
      for (const double rise : {0.0, 1.0, 50.0, 400.0}) {
        const double units = *UnitsForRise(material, rise, 23);
        EXPECT_NEAR(*RiseOfUnits(material, units, 23), rise, 1e-9);
      }
    }
  }
}

TEST(SulfiteTest, AWeakerPowderIsMore) {
  SulfiteMaterial material;
  const double fresh = *UnitsForRise(material, 50, 100);
  material.yield = 0.5;
  EXPECT_NEAR(*UnitsForRise(material, 50, 100) / fresh, 0.57634 / 0.5, 1e-4);
}

TEST(SulfiteTest, NonsenseIsRefused) {
  EXPECT_EQ(MolecularSo2(30, 35, 1.81).status().message(),
            "pH 35 is outside 2.5 to 4.5: was 3.5 meant?");
  EXPECT_FALSE(So2PerUnitMg({.form = SulfiteForm::kSolution}).ok());
  EXPECT_FALSE(So2PerUnitMg({.form = SulfiteForm::kTablets}).ok());
  for (const double bad : kHostile) {
    EXPECT_FALSE(MolecularSo2(bad, 3.4, 1.81).ok()) << bad;
    EXPECT_FALSE(MolecularSo2(30, bad, 1.81).ok()) << bad;
    EXPECT_FALSE(MolecularSo2(30, 3.4, bad).ok()) << bad;
    EXPECT_FALSE(FreeForMolecularSo2(bad, 3.4, 1.81).ok()) << bad;
    EXPECT_FALSE(Pk1OfSo2(20, bad).ok()) << bad;
    EXPECT_FALSE(UnitsForRise({}, bad, 100).ok()) << bad;
    EXPECT_FALSE(UnitsForRise({}, 50, bad).ok()) << bad;
    EXPECT_FALSE(RiseOfUnits({}, bad, 100).ok()) << bad;
    EXPECT_FALSE(So2PerUnitMg({.yield = bad}).ok()) << bad;
  }
  EXPECT_FALSE(Pk1OfSo2(std::numeric_limits<double>::quiet_NaN(), 12).ok());
}

}  // namespace
}  // namespace rundlet::oenology
