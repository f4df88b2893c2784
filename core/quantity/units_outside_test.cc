// Goal: the factors of the table agree with somebody else's.
// Method: ask GNU units (2.22, its definitions.units; Debian package "units") for every unit of
// volume and weight in base units, and compare to the 15 digits that its floating point holds. Also
// the temperature scales. Skipped only where the program is not installed.
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <memory>
#include <string>

#include "absl/strings/str_cat.h"
#include "core/quantity/reading.h"
#include "core/quantity/units.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

constexpr char kProgram[] = "/usr/bin/units";

// Our name to the name in definitions.units.
const std::map<std::string, std::string>& Names() {
  static const auto* const names = new std::map<std::string, std::string>{
      {"uL", "microliter"},
      {"mL", "milliliter"},
      {"cL", "centiliter"},
      {"dL", "deciliter"},
      {"L", "liter"},
      {"hL", "hectoliter"},
      {"m3", "m^3"},
      {"gal", "usgallon"},
      {"qt", "usquart"},
      {"pt", "uspint"},
      {"cup", "uscup"},
      {"fl oz", "usfluidounce"},
      {"tbsp", "ustablespoon"},
      {"tsp", "usteaspoon"},
      {"impgal", "brgallon"},
      {"impqt", "brquart"},
      {"imppt", "brpint"},
      {"impfloz", "brfluidounce"},
      {"ug", "microgram"},
      {"mg", "milligram"},
      {"g", "gram"},
      {"dag", "decagram"},
      {"kg", "kilogram"},
      {"t", "tonne"},
      {"lb", "pound"},
      {"oz", "ounce"},
      {"grain", "grain"},
  };
  return *names;
}

// The number that the program prints for "have" in "want"; NaN when it prints none.
double Ask(const std::string& have, const std::string& want) {
  const std::string command =
      absl::StrCat(kProgram, " --terse --digits max '", have, "' '", want, "' 2>&1");
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
  if (pipe == nullptr) return std::nan("");
  char line[128] = {};
  if (std::fgets(line, sizeof line, pipe.get()) == nullptr) return std::nan("");
  char* end = line;
  const double value = std::strtod(line, &end);
  return end == line || *end != '\n' ? std::nan("") : value;
}

class UnitsOutsideTest : public ::testing::Test {
 protected:
  void SetUp() override {
    if (access(kProgram, X_OK) != 0) GTEST_SKIP() << kProgram << " is not installed";
  }
};

TEST_F(UnitsOutsideTest, EveryFactorOfVolumeAndWeight) {
  int asked = 0;
  for (const Unit& unit : AllUnits()) {
    if (unit.dimension == Dimension::kCount) continue;
    const auto name = Names().find(std::string(unit.name));
    ASSERT_NE(name, Names().end()) << unit.name << " has no name there: add it";
    const bool volume = unit.dimension == Dimension::kVolume;
    const double theirs =
        Ask(absl::StrCat("1 ", name->second), volume ? "microliter" : "microgram");
    const double ours = static_cast<double>(unit.num) / static_cast<double>(unit.den);
    EXPECT_NEAR(theirs / ours, 1.0, 1e-15) << unit.name << ": " << theirs << " against " << ours;
    ++asked;
  }
  EXPECT_EQ(asked, static_cast<int>(Names().size()));
}

TEST_F(UnitsOutsideTest, FahrenheitAndCelsius) {
  for (const int fahrenheit : {-40, 0, 32, 50, 68, 76, 104, 212}) {
    const double theirs = Ask(absl::StrCat("tempF(", fahrenheit, ")"), "tempC");
    const double ours = static_cast<double>(CelsiusOfFahrenheit(int64_t{fahrenheit} * 1'000'000));
    EXPECT_NEAR(theirs * 1e6, ours, 0.6) << fahrenheit;
  }
}

}  // namespace
}  // namespace rundlet
