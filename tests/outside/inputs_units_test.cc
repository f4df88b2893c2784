// Goal: what people write in other units is converted as the rest of the world does it.
// Method: every unit of every kind of input of the client is also put to GNU units, whose
// definitions are not ours.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "absl/strings/str_cat.h"
#include "client/numbers/inputs.h"
#include "core/quantity/units.h"
#include "tests/outside/gnu_units.h"

namespace rundlet::client {
namespace {

void Agrees(InputKind kind, const std::string& text, const std::string& have,
            const std::string& want, double rounded_to = 0) {
  const auto ours = ReadInput(kind, text);
  ASSERT_TRUE(ours.ok()) << text << ": " << ours.status();
  const double theirs = AskUnits(have, want);
  EXPECT_NEAR(*ours, theirs, 1e-12 * std::fabs(theirs) + 0.51 * rounded_to)
      << text << " is " << have;
}

TEST(InputsUnitsTest, Fahrenheit) {
  for (const char* degrees : {"14", "32", "50", "59", "60", "64.4", "68", "76", "86", "104"}) {
    const auto ours = ReadInput(InputKind::kTemperature, absl::StrCat(degrees, "F"));
    ASSERT_TRUE(ours.ok()) << ours.status();
    // Readings are kept to the millionth of a degree.
    EXPECT_NEAR(*ours, AskUnits(absl::StrCat("tempF(", degrees, ")"), "tempC"), 1e-6) << degrees;
  }
}

TEST(InputsUnitsTest, Lengths) {
  for (const char* unit : {"cm", "mm", "m", "in"}) {
    for (const char* number : {"1", "24", "60.5"}) {
      Agrees(InputKind::kLengthCm, absl::StrCat(number, unit),
             absl::StrCat(number, " ", unit == std::string("in") ? "inch" : unit), "cm");
    }
  }
}

TEST(InputsUnitsTest, Concentrations) {
  Agrees(InputKind::kMgPerL, "0.3g/L", "0.3 g/liter", "mg/liter");
  Agrees(InputKind::kMgPerL, "30mg/L", "30 mg/liter", "mg/liter");
  // In a litre that weighs a kilogram.
  Agrees(InputKind::kMgPerL, "30ppm", "30 ppm 1 kg/liter", "mg/liter");
  Agrees(InputKind::kGPerL, "25g/hL", "25 g/hectoliter", "g/liter");
  Agrees(InputKind::kGPerL, "500mg/L", "500 mg/liter", "g/liter");
}

TEST(InputsUnitsTest, Rooms) {
  Agrees(InputKind::kRoomM3, "30000L", "30000 liter", "m^3");
  Agrees(InputKind::kRoomM3, "31.5m3", "31.5 m^3", "m^3");
}

TEST(InputsUnitsTest, Densities) {
  for (const char* density : {"990", "998.207", "1090", "1130.5"}) {
    const auto ours = ReadScale(absl::StrCat(density, "kg/m3"));
    ASSERT_TRUE(ours.ok()) << ours.status();
    EXPECT_NEAR(ours->value, AskUnits(absl::StrCat(density, " kg/m^3"), "kg/m^3"), 1e-9);
  }
  const auto ours = ReadScale("1.0905g/mL");
  ASSERT_TRUE(ours.ok()) << ours.status();
  EXPECT_NEAR(ours->value, AskUnits("1.0905 g/mL", "kg/m^3"), 1e-9);
}

struct Named {
  const char* ours;
  const char* theirs;
};

// Amounts are kept in whole microlitres and micrograms.
TEST(InputsUnitsTest, Volumes) {
  for (const Named& unit :
       {Named{"mL", "milliliter"}, Named{"cL", "centiliter"}, Named{"dL", "deciliter"},
        Named{"L", "liter"}, Named{"hL", "hectoliter"}, Named{"m3", "m^3"},
        Named{"gal", "usgallon"}, Named{"qt", "usquart"}, Named{"pt", "uspint"},
        Named{"cup", "uscup"}, Named{"fl oz", "usfluidounce"}, Named{"tbsp", "ustablespoon"},
        Named{"tsp", "usteaspoon"}, Named{"impgal", "brgallon"}}) {
    Agrees(InputKind::kVolumeL, absl::StrCat("5 ", unit.ours), absl::StrCat("5 ", unit.theirs),
           "liter", 1e-6);
    Agrees(InputKind::kVolumeMl, absl::StrCat("5 ", unit.ours), absl::StrCat("5 ", unit.theirs),
           "milliliter", 1e-3);
  }
}

TEST(InputsUnitsTest, Masses) {
  for (const Named& unit : {Named{"mg", "milligram"}, Named{"g", "gram"}, Named{"dag", "decagram"},
                            Named{"kg", "kilogram"}, Named{"lb", "pound"}, Named{"oz", "ounce"},
                            Named{"grain", "grain"}}) {
    Agrees(InputKind::kMassG, absl::StrCat("5 ", unit.ours), absl::StrCat("5 ", unit.theirs),
           "gram", 1e-6);
  }
}

TEST(InputsUnitsTest, GravityFromBaume) {
  // Ours goes by way of the density at 20 C.
  for (const char* degrees : {"5", "9.5", "12", "13.2"}) {
    Agrees(InputKind::kGravity, absl::StrCat(degrees, "Be"), absl::StrCat("baume(", degrees, ")"),
           "g/cm^3", 1e-9);
  }
}

TEST(InputsUnitsTest, AcidsByTheirFormulas) {
  // Two protons each: sulfuric 98.08 / 2, malic 134.09 / 2, tartaric 150.09 / 2.
  const std::string tartaric = "(4 carbon + 6 hydrogen + 6 oxygen)";
  Agrees(InputKind::kAcidity, "4 g/L as sulfuric",
         absl::StrCat("4 ", tartaric, " / (2 hydrogen + sulfur + 4 oxygen)"), "1", 0.005);
  Agrees(InputKind::kAcidity, "5 g/L as malic",
         absl::StrCat("5 ", tartaric, " / (4 carbon + 6 hydrogen + 5 oxygen)"), "1", 0.005);
}

}  // namespace
}  // namespace rundlet::client
