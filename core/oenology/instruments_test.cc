// Goal: hydrometer and refractometer corrections behave as nature does. Method: no correction where
// none is due, the right order of the models, mixtures found again from the readings they give.
#include <gtest/gtest.h>

#include "core/oenology/alcohol.h"
#include "core/oenology/hydrometer.h"
#include "core/oenology/refractometer.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

TEST(HydrometerTest, AtItsOwnTemperatureItIsRight) {
  for (const double c : {15.0, 15.556, 20.0}) {
    for (double sg = 0.98; sg <= 1.15; sg += 0.01) {
      const HydrometerReading r{.gravity = sg, .temperature_c = c, .calibration_c = c};
      EXPECT_NEAR(*CorrectAsWater(r), sg, 1e-9);
      EXPECT_NEAR(*CorrectAsSucrose(r), sg, 1e-9);
      if (sg < 1.03) {
        EXPECT_NEAR(*CorrectAsWine(r, 12), sg, 1e-9);
      }
    }
  }
}

TEST(HydrometerTest, WarmSamplesReadTooLowAndMustMoreThanWater) {
  for (double t = 22; t <= 38; t += 2) {
    const HydrometerReading must{.gravity = 1.09, .temperature_c = t, .calibration_c = 20};
    EXPECT_GT(*CorrectAsWater(must), 1.09);
    EXPECT_GT(*CorrectAsSucrose(must), *CorrectAsWater(must));
    const HydrometerReading wine{.gravity = 0.994, .temperature_c = t, .calibration_c = 20};
    EXPECT_GT(*CorrectAsWine(wine, 12), *CorrectAsWater(wine));
  }
  const HydrometerReading cold{.gravity = 1.09, .temperature_c = 10, .calibration_c = 20};
  EXPECT_LT(*CorrectAsSucrose(cold), 1.09);
}

TEST(HydrometerTest, DensityAt20IsThatOfTheCorrectedReading) {
  const HydrometerReading r{.gravity = 1.09, .temperature_c = 28, .calibration_c = 20};
  EXPECT_NEAR(*DensityAt20AsSucrose(r) / kWater20KgM3, *CorrectAsSucrose(r), 1e-9);
}

TEST(HydrometerTest, RefusesWhatIsOutside) {
  EXPECT_EQ(CorrectAsSucrose({.gravity = 1.09, .temperature_c = 84, .calibration_c = 20})
                .status()
                .message(),
            "temperature 84 C is outside 0 to 40 C: was 8.4 meant?");
  EXPECT_FALSE(CorrectAsWine({.gravity = 1.09, .temperature_c = 24, .calibration_c = 20}, 12).ok());
}

TEST(RefractometerTest, TheCorrectionRunsThroughNothingAt20AndRises) {
  for (double brix = 0; brix <= 30; brix += 2.5) {
    EXPECT_EQ(*RefractometerTemperatureCorrection(brix, 20), 0);
    double before = -2;
    for (double t = 5; t <= 30; t += 0.25) {
      const double add = *RefractometerTemperatureCorrection(brix, t);
      EXPECT_GE(add, before) << brix << " % at " << t;
      EXPECT_LT(add - before, 2) << "no leaps";
      before = add;
    }
  }
}

TEST(RefractometerTest, WithoutAlcoholItReadsTheSugar) {
  for (double brix = 0; brix <= 30; brix += 1) {
    EXPECT_NEAR(*RefractometerReadingOf(0, brix), brix, 1e-9);
  }
  EXPECT_GT(*RefractometerReadingOf(10, 2), 2);
}

TEST(RefractometerTest, AMixtureIsFoundAgainFromItsReadings) {
  for (double alcohol = 1; alcohol <= 16; alcohol += 1) {
    for (double gravity = 0.990; gravity <= 1.06; gravity += 0.01) {
      const double extract = *ExtractGL(gravity, alcohol);
      if (extract < 0 || extract > 280) continue;
      const double rho = gravity * kWater20KgM3;
      const double reading = *RefractometerReadingOf(alcohol * 789.239 / rho, 100 * extract / rho);
      if (reading > 30) continue;
      const absl::StatusOr<Mixture> found = MixtureFromGravity(reading, gravity);
      ASSERT_TRUE(found.ok()) << found.status();
      EXPECT_NEAR(found->alcohol_pct, alcohol, 1e-6);
      EXPECT_NEAR(found->extract_g_l, extract, 1e-5);
    }
  }
}

TEST(RefractometerTest, JuiceHasNoAlcoholAndDryWineHasMuch) {
  EXPECT_NEAR(MixtureFromOriginal(24, 24)->alcohol_pct, 0, 1e-6);
  const absl::StatusOr<Mixture> dry = MixtureFromOriginal(8.4, 24);
  ASSERT_TRUE(dry.ok()) << dry.status();
  EXPECT_NEAR(dry->alcohol_pct, 14, 1);
  EXPECT_NEAR(dry->gravity, 0.996, 0.006);
  EXPECT_EQ(MixtureFromOriginal(25, 24).status().code(), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(MixtureFromOriginal(1, 24).status().code(), absl::StatusCode::kOutOfRange);
}

TEST(RefractometerTest, TheTwoWaysAgreeOnOneWine) {
  // 1.100 to 0.996 is 11.22 % by mass and 3.45 % of extract by Balling's relation.
  const double reading = *RefractometerReadingOf(11.22, 3.45);
  const absl::StatusOr<Mixture> by_original = MixtureFromOriginal(reading, 23.79);
  ASSERT_TRUE(by_original.ok()) << by_original.status();
  EXPECT_NEAR(by_original->gravity, 0.996, 0.0003);
  EXPECT_NEAR(by_original->alcohol_pct, 14.13, 0.05);
}

}  // namespace
}  // namespace rundlet::oenology
