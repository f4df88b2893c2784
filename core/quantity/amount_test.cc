// Goal: amounts as hands write them become whole base units, or a message that says what to write.
// Method: examples of each form and of each refusal; a property over random decimals of every unit
// against exact integer arithmetic done another way.
#include "core/quantity/amount.h"

#include <string>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

constexpr Dimension kV = Dimension::kVolume;
constexpr Dimension kM = Dimension::kMass;
constexpr Dimension kC = Dimension::kCount;

Amount Of(absl::string_view text) {
  const absl::StatusOr<Amount> amount = ParseAmount(text);
  EXPECT_TRUE(amount.ok()) << amount.status();
  return amount.value_or(Amount{});
}

std::string Refused(absl::string_view text) {
  const absl::StatusOr<Amount> amount = ParseAmount(text);
  EXPECT_FALSE(amount.ok()) << text;
  return std::string(amount.status().message());
}

TEST(AmountTest, AsHandsWriteThem) {
  EXPECT_EQ(Of("18.5L"), (Amount{kV, 18'500'000}));
  EXPECT_EQ(Of("18.5 l"), (Amount{kV, 18'500'000}));
  EXPECT_EQ(Of("1,5 L"), (Amount{kV, 1'500'000}));
  EXPECT_EQ(Of("0,500 L"), (Amount{kV, 500'000}));
  EXPECT_EQ(Of("750ML"), (Amount{kV, 750'000}));
  EXPECT_EQ(Of("2.25 hL"), (Amount{kV, 225'000'000}));
  EXPECT_EQ(Of("3 µL"), (Amount{kV, 3}));
  EXPECT_EQ(Of("30g"), (Amount{kM, 30'000'000}));
  EXPECT_EQ(Of("1.2 t"), (Amount{kM, 1'200'000'000'000}));
  EXPECT_EQ(Of("3"), (Amount{kC, 3}));
  EXPECT_EQ(Of("12 pcs"), (Amount{kC, 12}));
  EXPECT_EQ(Of("12 bottles"), (Amount{kC, 12}));
  EXPECT_EQ(Of("1/2 dozen"), (Amount{kC, 6}));
  EXPECT_EQ(Of("3.0"), (Amount{kC, 3}));
}

TEST(AmountTest, RoundsHalvesToEvenAndSaysSo) {
  EXPECT_EQ(Of("5gal"), (Amount{kV, 18'927'059, false}));  // 18 927 058.92
  EXPECT_EQ(Of("5 imp gal"), (Amount{kV, 22'730'450, true}));
  EXPECT_EQ(Of("0.25tsp"), (Amount{kV, 1'232, false}));    // 1 232.23
  EXPECT_EQ(Of("1 1/2 tsp"), (Amount{kV, 7'393, false}));  // 7 393.38
  EXPECT_EQ(Of("1½ tsp"), Of("1 1/2 tsp"));
  EXPECT_EQ(Of("2oz"), (Amount{kM, 56'699'046, false}));  // 56 699 046.25
  EXPECT_EQ(Of("1 lb"), (Amount{kM, 453'592'370, true}));
  EXPECT_EQ(Of("2.5 uL"), (Amount{kV, 2, false}));
  EXPECT_EQ(Of("3.5 uL"), (Amount{kV, 4, false}));
  EXPECT_EQ(Of("1/3 L"), (Amount{kV, 333'333, false}));
}

TEST(AmountTest, RefusesWhatCanBeReadInTwoWays) {
  EXPECT_THAT(Refused("1,500 L"), HasSubstr("write 1.5 or 1500"));
  EXPECT_THAT(Refused("12,000 L"), HasSubstr("write 12 or 12000"));
  EXPECT_THAT(Refused("1,500,000 L"), HasSubstr("leave out thousands separators"));
}

TEST(AmountTest, RefusesNothingAndLess) {
  EXPECT_THAT(Refused("0 L"), HasSubstr("is nothing"));
  EXPECT_THAT(Refused("-5 L"), HasSubstr("without a minus"));
  EXPECT_THAT(Refused("−5 L"), HasSubstr("without a minus"));
  EXPECT_EQ(ParseAmount("0").status().code(), absl::StatusCode::kInvalidArgument);
}

TEST(AmountTest, RefusesWhatNoCellarHolds) {
  for (const char* text : {"1000000001 L", "10000001 hL", "1001 t", "1000000001",
                           "999999999999999999 t", "0.0004 uL", "0.5 uL"}) {
    EXPECT_EQ(ParseAmount(text).status().code(), absl::StatusCode::kOutOfRange) << text;
  }
  EXPECT_EQ(Of("1000000000 L").base, MaxBase(kV));
  EXPECT_EQ(Of("1000 t").base, MaxBase(kM));
  EXPECT_THAT(Refused("99999999999999999999999999 L"), HasSubstr("more than 18 digits"));
}

TEST(AmountTest, SaysWhatIsMissing) {
  EXPECT_THAT(Refused(""), HasSubstr("an amount is missing"));
  EXPECT_THAT(Refused("   "), HasSubstr("an amount is missing"));
  EXPECT_THAT(Refused("L"), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Refused("18.5"), AllOf(HasSubstr("has no unit"), HasSubstr("mL, L, hL or gal")));
  EXPECT_THAT(Refused("2.5 pcs"), HasSubstr("not a whole number of pieces"));
  EXPECT_THAT(Refused("5 lb 3 oz"), HasSubstr("not a unit known here"));
  EXPECT_THAT(Refused("~5 gal"), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Refused("1e3 L"), HasSubstr("not a unit"));
}

TEST(AmountTest, OneDimensionOnly) {
  EXPECT_EQ(*ParseVolume("18.5 L"), 18'500'000);
  EXPECT_EQ(*ParseMass("500mg"), 500'000);
  EXPECT_EQ(*ParseCount("30"), 30);
  EXPECT_EQ(*ParseCount("2 dozen"), 24);
  EXPECT_THAT(
      ParseVolume("5 kg").status().message(),
      AllOf(HasSubstr("is a weight, but a volume is wanted"), HasSubstr("mL, L, hL or gal")));
  EXPECT_THAT(ParseVolume("5 oz").status().message(), HasSubstr("\"fl oz\""));
  EXPECT_THAT(ParseVolume("5").status().message(), HasSubstr("has no unit: write a volume in"));
  EXPECT_THAT(ParseMass("5 mL").status().message(), HasSubstr("mg, g, kg, oz or lb"));
  EXPECT_THAT(ParseMass("5.5").status().message(), HasSubstr("has no unit: write a weight in"));
  EXPECT_THAT(ParseCount("5 L").status().message(), HasSubstr("a count is wanted"));
}

// base is right iff 2 * |base * den - value * num| <= den, where value = digits / 10^places.
RC_GTEST_PROP(AmountProperty, NearestBaseUnitForEveryUnit, ()) {
  const size_t index = *rc::gen::inRange<size_t>(0, AllUnits().size());
  const Unit& unit = AllUnits()[index];
  const int places = unit.dimension == kC ? 0 : *rc::gen::inRange(0, 5);
  const int64_t digits = *rc::gen::inRange<int64_t>(1, 1'000'000);
  int64_t scale = 1;
  for (int i = 0; i < places; ++i) scale *= 10;
  const std::string text = absl::StrCat(PrintRatio(digits, scale, places, places), " ", unit.name);
  const absl::StatusOr<Amount> amount = ParseAmount(text);
  const __int128 num = __int128{digits} * unit.num, den = __int128{scale} * unit.den;
  if (!amount.ok()) {
    RC_ASSERT(2 * num <= den || num > __int128{MaxBase(unit.dimension)} * den);
    return;
  }
  const __int128 off = 2 * (__int128{amount->base} * den - num);
  RC_ASSERT(off <= den);
  RC_ASSERT(off >= -den);
  RC_ASSERT(amount->exact == (off == 0));
  RC_ASSERT(amount->dimension == unit.dimension);
}

}  // namespace
}  // namespace rundlet
