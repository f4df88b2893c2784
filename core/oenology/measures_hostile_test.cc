// Goal: no input whatever makes a measure give what is no number, and none crashes. Method: every
// function with every combination of hostile and of usual numbers; what it gives must be finite, or
// an error that names the quantity.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "core/oenology/alcohol.h"
#include "core/oenology/carbon_dioxide.h"
#include "core/oenology/energy.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/fermentation.h"
#include "core/oenology/forecast.h"
#include "core/oenology/hydrometer.h"
#include "core/oenology/must.h"
#include "core/oenology/refractometer.h"
#include "core/oenology/room_air.h"
#include "core/oenology/scales.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/vessel_volume.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

using Result = absl::StatusOr<double>;

const std::vector<double>& Numbers() {
  static const auto* const kNumbers =
      new std::vector<double>{0,
                              -0.0,
                              1,
                              -1,
                              0.5,
                              5,
                              12,
                              20,
                              25,
                              40,
                              -20,
                              100,
                              0.994,
                              1.05,
                              1.1,
                              1.2,
                              1.4,
                              990,
                              998.2,
                              1040,
                              1090,
                              1128.75,
                              1e-300,
                              1e9,
                              -1e9,
                              1e300,
                              16.83,
                              5000,
                              30000,
                              75,
                              0.25,
                              std::numeric_limits<double>::quiet_NaN(),
                              std::numeric_limits<double>::infinity(),
                              -std::numeric_limits<double>::infinity(),
                              std::numeric_limits<double>::max(),
                              std::numeric_limits<double>::denorm_min()};
  return *kNumbers;
}

void Expect(const Result& result) {
  if (result.ok()) {
    EXPECT_TRUE(std::isfinite(*result));
    return;
  }
  EXPECT_NE(result.status().code(), absl::StatusCode::kInternal) << result.status();
  EXPECT_FALSE(result.status().message().empty());
}

void OfOne(const std::function<Result(double)>& f) {
  for (const double a : Numbers()) Expect(f(a));
}
void OfTwo(const std::function<Result(double, double)>& f) {
  for (const double a : Numbers()) {
    OfOne([&](double b) { return f(a, b); });
  }
}
void OfThree(const std::function<Result(double, double, double)>& f) {
  for (const double a : Numbers()) {
    OfTwo([&](double b, double c) { return f(a, b, c); });
  }
}

template <typename T, typename Member>
Result Part(const absl::StatusOr<T>& whole, Member T::*member) {
  if (!whole.ok()) return whole.status();
  return static_cast<double>((*whole).*member);
}

TEST(HostileMeasuresTest, DensitiesAndScales) {
  OfOne(WaterDensity);
  OfTwo(SucroseDensity);
  OfTwo(SucroseBrix);
  OfOne(SucroseSugarGL);
  OfOne(ApparentGravity);
  OfOne(MustDensity);
  OfOne(MustBrix);
  OfOne(MustSugarGL);
  OfOne(MustDensityFromSugar);
  for (int scale = 0; scale <= static_cast<int>(Scale::kMustSugar); ++scale) {
    OfOne([&](double v) { return DensityFrom(static_cast<Scale>(scale), v); });
    OfOne([&](double v) { return ReadingOf(static_cast<Scale>(scale), v); });
  }
}

TEST(HostileMeasuresTest, SpiritAndAlcohol) {
  OfTwo(EthanolDensity);
  OfTwo(EthanolMassFraction);
  OfOne(MassFractionFromAlcohol);
  OfOne(AlcoholFromMassFraction);
  OfTwo(AlcoholFromDensity);
  OfTwo(DensityFromAlcohol);
  OfTwo(DensityWithoutSulfurDioxide);
  OfTwo(AlcoholByFactor);
  OfTwo([](double a, double b) { return Part(AlcoholByBalling(a, b), &Balling::alcohol_pct); });
  OfTwo(AlcoholMassByCutaia);
  OfTwo(AlcoholByCutaia);
  OfThree(AlcoholByExtract);
  OfThree(AlcoholFromMustSugar);
  OfThree([](double a, double b, double c) {
    return Part(AlcoholSideBySide(a, b, c), &AlcoholSpread::middle);
  });
  OfTwo(ExtractGL);
  OfThree(ResidualSugarGL);
  OfOne([](double s) { return PotentialAlcohol(s); });
  OfOne(InstrumentPotentialAlcohol);
}

TEST(HostileMeasuresTest, Instruments) {
  OfThree([](double a, double b, double c) {
    return CorrectAsSucrose({.gravity = a, .temperature_c = b, .calibration_c = c});
  });
  OfThree([](double a, double b, double c) {
    return CorrectAsWine({.gravity = a, .temperature_c = b, .calibration_c = 20}, c);
  });
  OfThree([](double a, double b, double c) {
    return CorrectAsWater(
        {.gravity = a, .temperature_c = b, .calibration_c = 15, .glass_per_k = c});
  });
  OfOne(RefractiveIndex);
  OfTwo(RefractometerTemperatureCorrection);
  OfTwo(RefractometerReadingOf);
  OfTwo(FortifiedAlcohol);
  OfTwo([](double a, double b) { return Part(MixtureFromGravity(a, b), &Mixture::alcohol_pct); });
  OfTwo([](double a, double b) { return Part(MixtureFromOriginal(a, b), &Mixture::gravity); });
}

TEST(HostileMeasuresTest, FermentationAndVessels) {
  OfTwo(CarbonDioxideGL);
  OfTwo(CarbonDioxideVolumeL);
  OfOne(FermentationHeatKjL);
  OfTwo(FermentationWarmingK);
  OfThree(FreshAirM3H);
  OfThree([](double a, double b, double c) -> Result {
    const auto hours = HoursToLimit(a, b, c, 5000);
    if (!hours.ok()) return hours.status();
    return hours->value_or(0);
  });
  OfTwo(GasInWaterGL);
  OfThree(GasInWine20GL);
  OfThree([](double a, double b, double c) { return GasInWineGL(a, b, c, 2); });
  OfThree([](double a, double b, double c) {
    return Part(EnergyOf({.alcohol_pct = a, .sugar_g_l = b, .acid_g_l = c}),
                &Energy::kj_per_100_ml);
  });
  OfTwo(UprightCylinderL);
  OfThree(LyingCylinderL);
  OfThree([](double a, double b, double c) {
    return Part(BarrelVolumeOf({.bung_cm = a, .head_cm = b, .length_cm = c}),
                &BarrelVolume::parabola_l);
  });
  OfThree([](double a, double b, double c) {
    return LyingBarrelL({.bung_cm = a, .head_cm = b, .length_cm = 90}, c);
  });
  OfTwo([](double a, double b) { return Part(BottlesOf(a, b), &Bottles::count); });
  OfOne(HeadspaceOxygenMg);
  OfThree([](double a, double b, double c) -> Result {
    const std::vector<GravityReading> readings = {{0, a}, {b, c}, {4, 1.02}, {6, 1.01}};
    const auto forecast = ForecastGravity(readings, 0.998);
    if (!forecast.ok()) return forecast.status();
    return forecast->day.value_or(0) + forecast->latest.value_or(0) + forecast->drop_per_day;
  });
}

}  // namespace
}  // namespace rundlet::oenology
