// Goal: volumes of vessels follow from geometry. Method: full and half full, formulas against sums
// over thin slices, wine and headspace together the whole.
#include "core/oenology/vessel_volume.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace rundlet::oenology {
namespace {

TEST(CylinderTest, LyingFullIsUprightFullAndHalfIsHalf) {
  const double full = *LyingCylinderL(80, 120, 80);
  EXPECT_NEAR(full, *UprightCylinderL(80, 120), 1e-9);
  EXPECT_NEAR(*LyingCylinderL(80, 120, 40), full / 2, 1e-9);
  EXPECT_EQ(*LyingCylinderL(80, 120, 0), 0);
  double before = -1;
  for (double depth = 0; depth <= 80; depth += 0.5) {
    const double wine = *LyingCylinderL(80, 120, depth);
    EXPECT_GT(wine, before);
    before = wine;
    EXPECT_NEAR(wine + *LyingCylinderL(80, 120, 80 - depth), full, 1e-9);
  }
  EXPECT_FALSE(LyingCylinderL(80, 120, 81).ok());
}

// The sum of thin slices of a barrel whose radius at -1 to 1 along it is `radius`.
double Slices(double length_cm, const auto& radius) {
  constexpr int kCount = 100000;
  double sum = 0;
  for (int i = 0; i < kCount; ++i) {
    const double r = radius((2 * (i + 0.5) / kCount) - 1);
    sum += std::numbers::pi * r * r * length_cm / kCount / 1000;
  }
  return sum;
}

TEST(BarrelTest, FormulasAreThoseOfTheirShapes) {
  const BarrelMeasures barrel{.bung_cm = 70, .head_cm = 58, .length_cm = 88};
  const BarrelVolume volume = *BarrelVolumeOf(barrel);
  EXPECT_NEAR(volume.parabola_l, Slices(88, [](double x) { return 35 - 6 * x * x; }), 1e-4);
  EXPECT_NEAR(volume.ellipse_l,
              Slices(88, [](double x) { return std::sqrt(35 * 35 - (35 * 35 - 29 * 29) * x * x); }),
              1e-4);
  EXPECT_NEAR(volume.mean_diameter_l, *UprightCylinderL(66, 88), 1e-9);
}

TEST(BarrelTest, ABarrelWithoutBulgeIsACylinder) {
  const BarrelMeasures straight{.bung_cm = 60, .head_cm = 60, .length_cm = 90};
  const BarrelVolume volume = *BarrelVolumeOf(straight);
  const double cylinder = *UprightCylinderL(60, 90);
  EXPECT_NEAR(volume.parabola_l, cylinder, 1e-9);
  EXPECT_NEAR(volume.ellipse_l, cylinder, 1e-9);
  EXPECT_NEAR(volume.mean_diameter_l, cylinder, 1e-9);
  EXPECT_NEAR(*LyingBarrelL(straight, 17), *LyingCylinderL(60, 90, 17), 1e-9);
}

TEST(BarrelTest, PartlyFull) {
  const BarrelMeasures barrel{.bung_cm = 70, .head_cm = 58, .length_cm = 88};
  const double full = BarrelVolumeOf(barrel)->parabola_l;
  EXPECT_NEAR(*LyingBarrelL(barrel, 70), full, 0.01);
  EXPECT_NEAR(*LyingBarrelL(barrel, 35), full / 2, 0.01);
  EXPECT_EQ(*LyingBarrelL(barrel, 0), 0);
  double before = -1;
  for (double depth = 0; depth <= 70; depth += 1) {
    const double wine = *LyingBarrelL(barrel, depth);
    EXPECT_GT(wine, before);
    before = wine;
    EXPECT_NEAR(wine + *LyingBarrelL(barrel, 70 - depth), full, 0.02);
  }
  EXPECT_FALSE(BarrelVolumeOf({.bung_cm = 50, .head_cm = 60, .length_cm = 88}).ok());
  EXPECT_EQ(BarrelVolumeOf({.bung_cm = 690, .head_cm = 56, .length_cm = 90}).status().message(),
            "diameter at the bung 690 cm is outside 56 to 168 cm: was 69 meant?");
  EXPECT_EQ(BarrelVolumeOf({.bung_cm = 50, .head_cm = 56, .length_cm = 90}).status().message(),
            "diameter at the bung 50 cm is outside 56 to 168 cm, for a barrel is widest at the "
            "bung and the heads have 56 cm: were the two swapped?");
  // A slipped point explains it better than a swap.
  EXPECT_EQ(BarrelVolumeOf({.bung_cm = 6.9, .head_cm = 56, .length_cm = 90}).status().message(),
            "diameter at the bung 6.9 cm is outside 56 to 168 cm: was 69 meant?");
}

TEST(BottlesTest, CountAndRestAreTheWhole) {
  for (double volume = 0; volume < 50; volume += 0.37) {
    const Bottles bottles = *BottlesOf(volume, 750);
    EXPECT_NEAR(static_cast<double>(bottles.count) * 0.75 + bottles.rest_l, volume, 1e-6);
    EXPECT_LT(bottles.rest_l, 0.75 + 1e-9);
  }
  for (int count = 1; count < 3000; ++count) {
    EXPECT_EQ(BottlesOf(count * 0.75, 750)->count, count);
    EXPECT_EQ(BottlesOf(count * 0.187, 187)->count, count);
  }
}

}  // namespace
}  // namespace rundlet::oenology
