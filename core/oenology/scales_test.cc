// Goal: the scales of must agree with each other whichever way one goes. Method: there and back on
// a grid, monotone all the way, must and pure sugar kept apart, slips refused with a guess.
#include "core/oenology/scales.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "core/oenology/must.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

constexpr Scale kAll[] = {Scale::kDensity,  Scale::kGravity,  Scale::kBrix, Scale::kPlato,
                          Scale::kBaume,    Scale::kOechsle,  Scale::kKmw,  Scale::kSucroseSugar,
                          Scale::kMustBrix, Scale::kMustSugar};

TEST(ScalesTest, ThereAndBackOnEveryScale) {
  for (const Scale scale : kAll) {
    double before = -1e9;
    int seen = 0;
    for (double rho = 965; rho <= 1390; rho += 0.5) {
      const absl::StatusOr<double> reading = ReadingOf(scale, rho);
      if (!reading.ok()) continue;
      ++seen;
      EXPECT_GT(*reading, before) << ScaleName(scale) << " at " << rho;
      before = *reading;
      const absl::StatusOr<double> back = DensityFrom(scale, *reading);
      ASSERT_TRUE(back.ok()) << ScaleName(scale) << " " << *reading << ": " << back.status();
      EXPECT_NEAR(*back, rho, 1e-6) << ScaleName(scale);
    }
    EXPECT_GT(seen, 150) << ScaleName(scale);
  }
}

TEST(ScalesTest, BaumeThereAndBackByEveryModulus) {
  for (const BaumeModulus modulus : {BaumeModulus::kUs145, BaumeModulus::kDutch144,
                                     BaumeModulus::kGerlach14678, BaumeModulus::kFrench14432}) {
    const double baume = *ReadingOf(Scale::kBaume, 1090, modulus);
    EXPECT_NEAR(*DensityFrom(Scale::kBaume, baume, modulus), 1090, 1e-9);
  }
  EXPECT_GT(*ReadingOf(Scale::kBaume, 1090, BaumeModulus::kGerlach14678),
            *ReadingOf(Scale::kBaume, 1090, BaumeModulus::kDutch144));
}

TEST(ScalesTest, WaterIsAtTheZeroOfEachScale) {
  for (const Scale scale :
       {Scale::kBrix, Scale::kBaume, Scale::kOechsle, Scale::kKmw, Scale::kSucroseSugar}) {
    const absl::StatusOr<double> reading = ReadingOf(scale, kWater20KgM3);
    ASSERT_TRUE(reading.ok()) << ScaleName(scale) << reading.status();
    EXPECT_NEAR(*reading, 0, 1e-3) << ScaleName(scale);
  }
  EXPECT_NEAR(*ReadingOf(Scale::kGravity, kWater20KgM3), 1, 1e-12);
  EXPECT_NEAR(*WaterDensity(20), kWater20KgM3, 1e-9);
}

TEST(ScalesTest, MustHoldsATenthLessSugarThanASolutionOfTheSameDensity) {
  for (double rho = 1050; rho <= 1120; rho += 10) {
    const double ratio = *ReadingOf(Scale::kMustSugar, rho) / *ReadingOf(Scale::kSucroseSugar, rho);
    EXPECT_GT(ratio, 0.80);
    EXPECT_LT(ratio, 0.95);
  }
}

TEST(ScalesTest, SlipsAreRefusedWithAGuess) {
  EXPECT_EQ(DensityFrom(Scale::kGravity, 10.40).status().message(),
            "SG 10.4 is outside 0.965 to 1.4: was 1.04 meant?");
  EXPECT_EQ(DensityFrom(Scale::kGravity, 1090).status().message(),
            "SG 1090 is outside 0.965 to 1.4: was 1.09 meant?");
  EXPECT_EQ(DensityFrom(Scale::kMustBrix, 240).status().code(), absl::StatusCode::kOutOfRange);
}

TEST(ScalesTest, NamesAreUniqueAndFound) {
  for (const Scale scale : kAll) EXPECT_EQ(ScaleNamed(ScaleName(scale)), scale);
  EXPECT_FALSE(ScaleNamed("stone").has_value());
}

TEST(SucroseTest, RisesWithSugarAndFallsWithWarmth) {
  for (double t = 5; t <= 35; t += 5) {
    double before = 0;
    for (double brix = -5; brix <= 85; brix += 0.5) {
      const double rho = *SucroseDensity(brix, t);
      EXPECT_GT(rho, before);
      before = rho;
      EXPECT_LT(*SucroseDensity(brix, t + 5), rho);
      EXPECT_NEAR(*SucroseBrix(rho, t), brix, 1e-9);
    }
  }
}

TEST(MustTest, ThereAndBack) {
  for (double brix = 10; brix <= 30; brix += 0.25) {
    EXPECT_NEAR(*MustBrix(std::clamp(*MustDensity(brix), kLeastMustKgM3, kMostMustKgM3)), brix,
                0.002);
  }
  for (double rho = 1039.5; rho <= 1128.7; rho += 1) {
    EXPECT_NEAR(*MustDensityFromSugar(*MustSugarGL(rho)), rho, 1e-6);
  }
}

}  // namespace
}  // namespace rundlet::oenology
