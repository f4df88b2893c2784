// Goal: the scales of hydrometers mean here what they mean elsewhere.
// Method: GNU units knows Baume by its modulus, Brix by the table of apparent gravities in NIST
// Circular 440 (Table 114), and degrees of the same make as Oechsle's, for milk (Quevenne). Each is
// asked over its whole range, both ways. It takes 1 g/cm3 for water where we take the density at 20
// C, so gravities are compared, not densities.
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>

#include "absl/strings/str_cat.h"
#include "core/oenology/acids.h"
#include "core/oenology/scales.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"
#include "tests/outside/gnu_units.h"

namespace rundlet::oenology {
namespace {

double GravityOf(Scale scale, double value, BaumeModulus modulus = BaumeModulus::kUs145) {
  const auto density = DensityFrom(scale, value, modulus);
  EXPECT_TRUE(density.ok()) << density.status();
  return density.value_or(std::nan("")) / kWater20KgM3;
}

double Reads(Scale scale, double gravity, BaumeModulus modulus = BaumeModulus::kUs145) {
  const auto reading = ReadingOf(scale, gravity * kWater20KgM3, modulus);
  EXPECT_TRUE(reading.ok()) << reading.status();
  return reading.value_or(std::nan(""));
}

TEST(ScalesUnitsTest, BaumeByEveryModulus) {
  // The file of units has 145, and names 144 and 146.78 as those of Holland and of Gerlach.
  const std::pair<BaumeModulus, const char*> kModuli[] = {
      {BaumeModulus::kUs145, "baumeconst 145"},
      {BaumeModulus::kDutch144, "baumeconst 144"},
      {BaumeModulus::kGerlach14678, "baumeconst 146.78"}};
  for (const auto& [modulus, constant] : kModuli) {
    for (const double degrees : {0.0, 1.0, 5.0, 9.3, 12.0, 13.0, 20.0, 30.0}) {
      const double theirs = AskUnits(absl::StrCat("baume(", degrees, ")"), "g/cm^3", constant);
      EXPECT_NEAR(GravityOf(Scale::kBaume, degrees, modulus), theirs, 1e-12)
          << constant << ", " << degrees;
    }
    for (const double gravity : {1.0, 1.04, 1.09, 1.13, 1.2}) {
      const double theirs = AskUnits(absl::StrCat(gravity, " g/cm^3"), "baume", constant);
      EXPECT_NEAR(Reads(Scale::kBaume, gravity, modulus), theirs, 1e-9)
          << constant << ", " << gravity;
    }
  }
}

TEST(ScalesUnitsTest, OechsleIsThousandths) {
  for (const double degrees : {-5.0, 0.0, 40.0, 73.5, 90.0, 130.0, 200.0}) {
    EXPECT_NEAR(GravityOf(Scale::kOechsle, degrees),
                AskUnits(absl::StrCat("quevenne(", degrees, ")"), "g/cm^3"), 1e-12)
        << degrees;
  }
  for (const double gravity : {0.995, 1.0, 1.09, 1.2}) {
    EXPECT_NEAR(Reads(Scale::kOechsle, gravity),
                AskUnits(absl::StrCat(gravity, " g/cm^3"), "quevenne"), 1e-9)
        << gravity;
  }
}

TEST(ScalesUnitsTest, BrixByTheTableOfApparentGravities) {
  // The circular (1942) rests on the weighings of Plato, our formula on those of ICUMSA: they part
  // by less than a tenth of what a hydrometer can show, in syrup by more.
  for (int brix = 0; brix <= 70; ++brix) {
    const double theirs = AskUnits(absl::StrCat("brix(", brix, ")"), "0.99717 g/cm^3");
    const auto density = DensityFrom(Scale::kBrix, brix);
    ASSERT_TRUE(density.ok()) << density.status();
    const auto ours = ApparentGravity(*density);
    ASSERT_TRUE(ours.ok()) << ours.status();
    EXPECT_NEAR(*ours, theirs, brix <= 30 ? 9e-5 : brix <= 50 ? 1.3e-4 : 3.6e-4) << brix;
  }
  for (const double gravity : {1.02, 1.05, 1.09, 1.12}) {
    const double theirs = AskUnits(absl::StrCat(gravity, " * 0.99717 g/cm^3"), "brix");
    // Apparent gravity to true density: (rho - 1.2) / (water - 1.2) the other way round.
    const double density = gravity * (kWater20KgM3 - 1.2) + 1.2;
    EXPECT_NEAR(*ReadingOf(Scale::kBrix, density), theirs, 0.025) << gravity;
  }
}

TEST(ScalesUnitsTest, DensityInOtherUnits) {
  for (const char* density : {"990", "998.2067455596", "1090"}) {
    const double gravity =
        AskUnits(absl::StrCat(density, " kg/m^3"), "g/cm^3") * 1000 / kWater20KgM3;
    EXPECT_NEAR(Reads(Scale::kDensity, gravity),
                AskUnits(absl::StrCat(density, " g/liter"), "kg/m^3"), 1e-9);
  }
}

// The mass of acid that carries a mole of protons, by the masses of atoms that units has.
TEST(ScalesUnitsTest, AcidsByTheirFormulas) {
  struct Made {
    Acid acid;
    const char* atoms;
    int protons;
  };
  const Made kAcids[] = {{Acid::kTartaric, "4 carbon + 6 hydrogen + 6 oxygen", 2},
                         {Acid::kSulfuric, "2 hydrogen + sulfur + 4 oxygen", 2},
                         {Acid::kMalic, "4 carbon + 6 hydrogen + 5 oxygen", 2},
                         {Acid::kCitric, "6 carbon + 8 hydrogen + 7 oxygen", 3},
                         {Acid::kLactic, "3 carbon + 6 hydrogen + 3 oxygen", 1},
                         {Acid::kAcetic, "2 carbon + 4 hydrogen + 2 oxygen", 1}};
  for (const Made& made : kAcids) {
    const double theirs = AskUnits(absl::StrCat("(", made.atoms, ") / ", made.protons), "1");
    EXPECT_NEAR(EquivalentMass(made.acid), theirs, 0.01) << AcidName(made.acid);
  }
}

}  // namespace
}  // namespace rundlet::oenology
