// Goal: the table of units is sound, and every spelling names one unit.
// Method: structural checks over the whole table; known spellings; refused ones.
#include "core/quantity/units.h"

#include <map>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/str_split.h"
#include "core/quantity/rounding.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

using ::testing::HasSubstr;

std::string NameOf(absl::string_view written) {
  const absl::StatusOr<const Unit*> unit = FindUnit(written);
  return std::string(unit.ok() ? (*unit)->name : unit.status().message());
}

TEST(UnitsTest, EverySpellingIsOnceInTheTableAndFindsItsRow) {
  std::map<std::string, std::string> seen;
  for (const Unit& unit : AllUnits()) {
    EXPECT_EQ(NameOf(unit.name), unit.name);
    EXPECT_EQ(&UnitNamed(unit.name), &unit);
    EXPECT_GT(unit.num, 0);
    EXPECT_GT(unit.den, 0);
    EXPECT_FALSE(unit.source.empty()) << unit.name;
    for (const absl::string_view alias : absl::StrSplit(unit.aliases, ' ', absl::SkipEmpty())) {
      const auto [it, fresh] = seen.emplace(alias, unit.name);
      EXPECT_TRUE(fresh) << alias << " is in " << it->second << " and " << unit.name;
      EXPECT_EQ(NameOf(alias), unit.name);
      EXPECT_EQ(alias, absl::AsciiStrToLower(alias));
    }
  }
}

TEST(UnitsTest, BaseUnitsAreOne) {
  for (const Dimension d : {Dimension::kVolume, Dimension::kMass, Dimension::kCount}) {
    const Unit& base = UnitNamed(BaseUnitName(d));
    EXPECT_EQ(base.dimension, d);
    EXPECT_EQ(base.num, base.den);
  }
}

// The parts of a gallon must add up, whatever figures they were written down as.
TEST(UnitsTest, PartsOfTheGallons) {
  const auto times = [](absl::string_view part, absl::string_view whole, int count) {
    const Unit& p = UnitNamed(part);
    const Unit& w = UnitNamed(whole);
    return __int128{p.num} * count * w.den == __int128{w.num} * p.den;
  };
  EXPECT_TRUE(times("qt", "gal", 4));
  EXPECT_TRUE(times("pt", "gal", 8));
  EXPECT_TRUE(times("cup", "gal", 16));
  EXPECT_TRUE(times("fl oz", "gal", 128));
  EXPECT_TRUE(times("tbsp", "gal", 256));
  EXPECT_TRUE(times("tsp", "gal", 768));
  EXPECT_TRUE(times("impqt", "impgal", 4));
  EXPECT_TRUE(times("imppt", "impgal", 8));
  EXPECT_TRUE(times("impfloz", "impgal", 160));
  EXPECT_TRUE(times("oz", "lb", 16));
  EXPECT_TRUE(times("grain", "lb", 7000));
}

TEST(UnitsTest, CaseSpacesAndStopsDoNotCount) {
  EXPECT_EQ(NameOf("l"), "L");
  EXPECT_EQ(NameOf("ℓ"), "L");
  EXPECT_EQ(NameOf("ML"), "mL");
  EXPECT_EQ(NameOf("ml"), "mL");
  EXPECT_EQ(NameOf("µL"), "uL");
  EXPECT_EQ(NameOf("μg"), "ug");
  EXPECT_EQ(NameOf("M³"), "m3");
  EXPECT_EQ(NameOf("Fl. Oz."), "fl oz");
  EXPECT_EQ(NameOf("US gal"), "gal");
  EXPECT_EQ(NameOf("imp. gal."), "impgal");
  EXPECT_EQ(NameOf("KG"), "kg");
  EXPECT_EQ(NameOf("bottles"), "pcs");
}

TEST(UnitsTest, RefusesWhatMeansTwoThings) {
  EXPECT_THAT(NameOf("T"), HasSubstr("write tbsp or t"));
  EXPECT_THAT(NameOf("T."), HasSubstr("write tbsp or t"));
  EXPECT_EQ(NameOf("t"), "t");
  EXPECT_THAT(NameOf("gr"), HasSubstr("write g or grain"));
  EXPECT_THAT(NameOf("Tons"), HasSubstr("write t (1000 kg)"));
  EXPECT_THAT(NameOf("cases"), HasSubstr("number of bottles"));
}

TEST(UnitsTest, UnknownUnitsSayWhatToWrite) {
  EXPECT_THAT(NameOf("furlong"), HasSubstr("\"furlong\" is not a unit known here"));
  EXPECT_THAT(NameOf(""), HasSubstr("not a unit"));
  EXPECT_THAT(NameOf("."), HasSubstr("not a unit"));
  EXPECT_EQ(FindUnit("x").status().code(), absl::StatusCode::kInvalidArgument);
}

}  // namespace
}  // namespace rundlet
