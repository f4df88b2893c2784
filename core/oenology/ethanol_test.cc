// Goal: density and alcohol of spirit agree both ways over the whole range. Method: a grid over
// strength and temperature, there and back; monotone; contraction has the right sign and size.
#include "core/oenology/ethanol.h"

#include <gtest/gtest.h>

namespace rundlet::oenology {
namespace {

TEST(EthanolTest, ThereAndBackAtEveryTemperature) {
  for (double t = -20; t <= 40; t += 5) {
    double before = 1e9;
    for (double alcohol = 0; alcohol <= 100; alcohol += 0.5) {
      const double rho = *DensityFromAlcohol(alcohol, t);
      EXPECT_LT(rho, before) << alcohol << " % at " << t;
      before = rho;
      EXPECT_NEAR(*AlcoholFromDensity(rho, t), alcohol, 2e-4) << alcohol << " % at " << t;
    }
  }
}

TEST(EthanolTest, TheShortWayToDensityAt20GivesTheSame) {
  for (double alcohol = 0; alcohol <= 100; alcohol += 1) {
    EXPECT_NEAR(internal::EthanolDensityAt20(alcohol), *DensityFromAlcohol(alcohol, 20), 1e-3);
  }
}

TEST(EthanolTest, MassFractionAndVolumeShareRiseTogether) {
  for (double p = 0; p <= 1; p += 0.01) {
    EXPECT_NEAR(*MassFractionFromAlcohol(std::min(100.0, *AlcoholFromMassFraction(p))), p, 1e-6);
  }
}

TEST(EthanolTest, HalfAndHalfShrinks) {
  // 500 mL of ethanol and 500 mL of water at 20 C make 964.6 mL: our own balance of masses.
  const double mass = 0.5 * kEthanol20KgM3 + 0.5 * kR22Water20KgM3;
  const double p = 0.5 * kEthanol20KgM3 / mass;
  EXPECT_NEAR(mass / *EthanolDensity(p, 20), 0.9646, 0.0002);
}

TEST(EthanolTest, WarmthThins) {
  for (double p = 0.1; p <= 1; p += 0.1) {
    for (double t = 0; t < 40; t += 5) EXPECT_GT(*EthanolDensity(p, t), *EthanolDensity(p, t + 5));
  }
}

TEST(EthanolTest, RefusesADensityThatNoMixtureHas) {
  EXPECT_EQ(EthanolMassFraction(1090, 20).status().code(), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(EthanolMassFraction(0.98, 20).status().message(),
            "density of water and ethanol 0.98 kg/m3 is outside 789.239 to 998.201 kg/m3: was 980 "
            "meant?");
}

TEST(EthanolTest, SulfurDioxideWeighs) {
  EXPECT_NEAR(*DensityWithoutSulfurDioxide(992, 150), 991.91, 1e-9);
  EXPECT_DOUBLE_EQ(*DensityWithoutSulfurDioxide(992, 0), 992);
}

}  // namespace
}  // namespace rundlet::oenology
