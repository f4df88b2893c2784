// Goal: acidities convert and additions do what they should; balances close.
// Method: inverses, the two ways of each carbonate, signs of the guess at pH, hostile numbers.
#include "core/oenology/acids.h"

#include <gtest/gtest.h>

#include <limits>

namespace rundlet::oenology {
namespace {

constexpr Acid kAll[] = {Acid::kTartaric, Acid::kSulfuric, Acid::kMalic,
                         Acid::kCitric,   Acid::kLactic,   Acid::kAcetic};
constexpr Acid kAddable[] = {Acid::kTartaric, Acid::kMalic, Acid::kCitric, Acid::kLactic};
constexpr Carbonate kCarbonates[] = {Carbonate::kPotassiumBicarbonate,
                                     Carbonate::kPotassiumCarbonate, Carbonate::kCalciumCarbonate};
constexpr double kHostile[] = {-1, 1e308, std::numeric_limits<double>::quiet_NaN(),
                               std::numeric_limits<double>::infinity()};

TEST(AcidsTest, ThereAndBackIsTheSame) {
  for (const Acid from : kAll) {
    for (const Acid to : kAll) {
      EXPECT_NEAR(*ConvertAcidity(*ConvertAcidity(6.5, from, to), to, from), 6.5, 1e-12);
      EXPECT_NEAR(*AcidityMeqL(*ConvertAcidity(6.5, from, to), to), *AcidityMeqL(6.5, from), 1e-9);
    }
  }
}

TEST(AcidsTest, AdditionsAreInverse) {
  for (const Acid acid : kAddable) {
    EXPECT_NEAR(*RiseOfAcid(acid, *AcidForRise(acid, 1.7, 54), 54), 1.7, 1e-12);
  }
  for (const Carbonate carbonate : kCarbonates) {
    for (const bool falls : {false, true}) {
      EXPECT_NEAR(
          *DropOfCarbonate(carbonate, *CarbonateForDrop(carbonate, 1.7, 54, falls), 54, falls), 1.7,
          1e-12);
    }
  }
}

TEST(AcidsTest, BitartrateHalvesPotassiumButNotCalcium) {
  for (const Carbonate carbonate : kCarbonates) {
    const double ratio =
        *CarbonateForDrop(carbonate, 1, 1, false) / *CarbonateForDrop(carbonate, 1, 1, true);
    EXPECT_NEAR(ratio, carbonate == Carbonate::kCalciumCarbonate ? 1 : 2, 1e-12);
  }
}

TEST(AcidsTest, AcidLowersAndCarbonateRaisesThePh) {
  for (const Acid acid : kAddable) {
    const double shift = *PhShiftOfAcid(acid, 1, 3.5, kUsualBufferMeq);
    EXPECT_LT(shift, -0.02);
    EXPECT_GT(shift, -0.3);
    // A weaker buffer gives way more.
    EXPECT_LT(*PhShiftOfAcid(acid, 1, 3.5, 30), shift);
  }
  for (const Carbonate carbonate : kCarbonates) {
    EXPECT_GT(*PhShiftOfCarbonate(carbonate, 1, kUsualBufferMeq), 0.1);
  }
}

TEST(AcidsTest, NonsenseIsRefused) {
  EXPECT_EQ(AcidForRise(Acid::kAcetic, 1, 20).status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(PhShiftOfAcid(Acid::kTartaric, 1, 35, 45).status().code(),
            absl::StatusCode::kOutOfRange);
  for (const double bad : kHostile) {
    EXPECT_FALSE(ConvertAcidity(bad, Acid::kTartaric, Acid::kMalic).ok());
    EXPECT_FALSE(AcidityMeqL(bad, Acid::kTartaric).ok());
    EXPECT_FALSE(AcidityFromTitration(bad, 0.1, 5, Acid::kTartaric).ok());
    EXPECT_FALSE(AcidityFromTitration(5, bad, 5, Acid::kTartaric).ok());
    EXPECT_FALSE(AcidityFromTitration(5, 0.1, bad, Acid::kTartaric).ok());
    EXPECT_FALSE(AcidForRise(Acid::kTartaric, bad, 20).ok());
    EXPECT_FALSE(AcidForRise(Acid::kTartaric, 1, bad).ok());
    EXPECT_FALSE(RiseOfAcid(Acid::kTartaric, bad, 20).ok());
    EXPECT_FALSE(CarbonateForDrop(Carbonate::kCalciumCarbonate, bad, 20, true).ok());
    EXPECT_FALSE(DropOfCarbonate(Carbonate::kCalciumCarbonate, bad, 20, true).ok());
    EXPECT_FALSE(PhShiftOfCarbonate(Carbonate::kCalciumCarbonate, bad, 45).ok());
    EXPECT_FALSE(PhShiftOfAcid(Acid::kTartaric, 1, 3.4, bad).ok());
  }
}

}  // namespace
}  // namespace rundlet::oenology
