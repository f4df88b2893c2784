// Goal: gas, heat and air of a fermentation balance. Method: closed forms turned round, and the
// room's differential equation stepped through by hand.
#include "core/oenology/fermentation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "core/oenology/carbon_dioxide.h"
#include "core/oenology/energy.h"
#include "core/oenology/room_air.h"

namespace rundlet::oenology {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(FermentationTest, GasAndHeatAreInProportion) {
  EXPECT_DOUBLE_EQ(*CarbonDioxideGL(200), 2 * *CarbonDioxideGL(100));
  EXPECT_DOUBLE_EQ(*FermentationHeatKjL(200), 2 * *FermentationHeatKjL(100));
  EXPECT_GT(*CarbonDioxideVolumeL(100, 25), *CarbonDioxideVolumeL(100, 15));
  EXPECT_EQ(*CarbonDioxideGL(0), 0);
}

TEST(RoomAirTest, ThatMuchAirHoldsTheLimitAndAnyLessDoesNot) {
  for (const double limit : {1000.0, 5000.0, 15000.0}) {
    const double air = *FreshAirM3H(0.3, limit);
    EXPECT_FALSE(HoursToLimit(50, 0.3, air * 1.0001, limit)->has_value());
    EXPECT_TRUE(HoursToLimit(50, 0.3, air * 0.99, limit)->has_value());
  }
  EXPECT_EQ(*FreshAirM3H(0, 5000), 0);
  EXPECT_FALSE(HoursToLimit(50, 0, 0, 5000)->has_value());
}

TEST(RoomAirTest, TimeToTheLimitIsThatOfTheBalanceSteppedThrough) {
  const double hours = **HoursToLimit(50, 0.3, 10, 5000);
  double share = kOutsidePpm / 1e6;
  double t = 0;
  constexpr double kStep = 1e-5;
  while (share < 0.005) {
    share += kStep * (0.3 + 10 * kOutsidePpm / 1e6 - 10.3 * share) / 50;
    t += kStep;
  }
  EXPECT_NEAR(hours, t, 1e-3);
}

TEST(RoomAirTest, AStricterLimitAsksForMoreAir) {
  EXPECT_GT(*FreshAirM3H(1, 5000), *FreshAirM3H(1, 15000));
  EXPECT_FALSE(FreshAirM3H(1, 400).ok());
}

// Goal: nobody plans a room for air that harms within minutes, nor is led to such a number.
TEST(RoomAirTest, LimitsAboveTheShortTermOnesAreRefusedByName) {
  EXPECT_EQ(ShortTermPpm(), 15000);
  for (const double limit : {15001.0, 30000.0, 40000.0, 50000.0, 500000.0}) {
    const absl::Status refused = FreshAirM3H(0.3, limit).status();
    EXPECT_EQ(refused.code(), absl::StatusCode::kOutOfRange) << limit;
    EXPECT_THAT(std::string(refused.message()), HasSubstr("15000 ppm (UK, 15 min, EH40/2005)"));
    EXPECT_THAT(std::string(refused.message()), Not(HasSubstr("meant"))) << limit;
    EXPECT_EQ(HoursToLimit(50, 0.3, 0, limit).status(), refused);
  }
  EXPECT_THAT(std::string(FreshAirM3H(0.3, 50000).status().message()),
              HasSubstr("40000 ppm (US, dangerous to life at once, NIOSH 1994)"));
  for (const double limit : {0.5, 50.0, 500.0}) {
    EXPECT_THAT(std::string(FreshAirM3H(0.3, limit).status().message()), Not(HasSubstr("meant")))
        << "no larger exposure is offered for " << limit;
  }
}

TEST(DissolvedGasTest, ColdHoldsMoreAndAlcoholAndSugarLess) {
  for (double t = 0; t < 40; t += 1) {
    EXPECT_GT(*GasInWaterGL(t, 101.325), *GasInWaterGL(t + 1, 101.325));
    EXPECT_LT(*GasInWineGL(t, 101.325, 12, 2), *GasInWaterGL(t, 101.325));
  }
  EXPECT_GT(*GasInWine20GL(101.325, 10, 2), *GasInWine20GL(101.325, 14, 2));
  EXPECT_GT(*GasInWine20GL(101.325, 10, 2), *GasInWine20GL(101.325, 10, 50));
  EXPECT_DOUBLE_EQ(*GasInWineGL(20, 101.325, 12, 2), *GasInWine20GL(101.325, 12, 2));
}

TEST(EnergyTest, EachPartAdds) {
  const double none = EnergyOf({})->kj_per_100_ml;
  EXPECT_EQ(none, 0);
  EXPECT_NEAR(EnergyOf({.sugar_g_l = 10})->kj_per_100_ml, 17, 1e-9);
  EXPECT_NEAR(EnergyOf({.alcohol_pct = 10})->kcal_per_100_ml, 7 * 7.89239, 1e-9);
}

}  // namespace
}  // namespace rundlet::oenology
