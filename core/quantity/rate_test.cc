// Goal: doses per volume are kept as exact ratios and applied with one rounding.
// Method: examples whose result is known by hand; refusals; a property: dosing a volume in two
// units of the same size gives the same amount.
#include "core/quantity/rate.h"

#include <limits>
#include <string>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::HasSubstr;

constexpr Dimension kV = Dimension::kVolume;
constexpr Dimension kM = Dimension::kMass;
constexpr Dimension kC = Dimension::kCount;

Rate Of(absl::string_view text) {
  const absl::StatusOr<Rate> rate = ParseRate(text);
  EXPECT_TRUE(rate.ok()) << rate.status();
  return rate.value_or(Rate{});
}

std::string Refused(absl::string_view text) {
  const absl::StatusOr<Rate> rate = ParseRate(text);
  EXPECT_FALSE(rate.ok()) << text;
  return std::string(rate.status().message());
}

TEST(RateTest, AsHandsWriteThem) {
  EXPECT_EQ(Of("0.5g/L"), (Rate{kM, 1, 2}));
  EXPECT_EQ(Of("20 g/hL"), (Rate{kM, 1, 5}));
  EXPECT_EQ(Of("20 g per hL"), (Rate{kM, 1, 5}));
  EXPECT_EQ(Of("1 mL/L"), (Rate{kV, 1, 1000}));
  EXPECT_EQ(Of("30 mg/L"), (Rate{kM, 3, 100}));
  EXPECT_EQ(Of("30 ppm"), Of("30mg/L"));
  EXPECT_EQ(Of("1/2 tsp/gal"), (Rate{kV, 1, 1536}));
  EXPECT_EQ(Of("1 oz/5gal"), Of("0.2 oz / gal"));
  EXPECT_EQ(Of("1 oz/0.5gal"), Of("2 oz/gal"));
  EXPECT_EQ(Of("1 oz per 1/2 gal"), Of("2 oz/gal"));
  EXPECT_EQ(Of("1 tablet per gal"), (Rate{kC, 125, 473'176'473}));
  EXPECT_EQ(Of("1/gal"), Of("1 tablet/gal"));
  EXPECT_EQ(Of("1 per gal"), Of("1 tablet/gal"));
  EXPECT_EQ(Of("1/2 tablet/gal"), Of("1 tablet/2 gal"));
}

TEST(RateTest, TimesRoundsOnce) {
  EXPECT_EQ(*Of("0.5 g/L").Times(18'500'000), (Amount{kM, 9'250'000, true}));
  EXPECT_EQ(*Of("1 oz/5gal").Times(18'927'059), (Amount{kM, 28'349'523, false}));
  EXPECT_EQ(*Of("30 mg/L").Times(50), (Amount{kM, 2, false})) << "1.5 goes to the even 2";
  EXPECT_EQ(*Of("30 mg/L").Times(83), (Amount{kM, 2, false})) << "2.49";
  EXPECT_EQ(*Of("1 tablet/gal").Times(22'712'471), (Amount{kC, 6, false}));
}

TEST(RateTest, TimesRefuses) {
  const auto code = [](const Rate& rate, int64_t volume_ul) {
    return rate.Times(volume_ul).status().code();
  };
  EXPECT_EQ(code(Of("1 g/L"), 0), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code(Of("1 g/L"), -1), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code(Of("1 mg/L"), 1), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(code(Of("1 kg/L"), std::numeric_limits<int64_t>::max()), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(code(Rate{kM, 1, 0}, 5), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code(Rate{kM, -1, 1}, 5), absl::StatusCode::kInvalidArgument);
}

TEST(RateTest, SaysWhatToWrite) {
  EXPECT_THAT(Refused(""), HasSubstr("a rate is missing"));
  EXPECT_THAT(Refused("5 g"), HasSubstr("is not an amount per volume"));
  EXPECT_THAT(Refused("3/5gal"), HasSubstr("is not an amount per volume"));
  EXPECT_THAT(Refused("5 g/"), HasSubstr("is not an amount per volume"));
  EXPECT_THAT(Refused("5 g/kg"), HasSubstr("is per weight"));
  EXPECT_THAT(Refused("5 g/3"), HasSubstr("is not an amount per volume"));
  EXPECT_THAT(Refused("0 g/L"), HasSubstr("is nothing"));
  EXPECT_THAT(Refused("-1 g/L"), HasSubstr("less than nothing"));
  EXPECT_THAT(Refused("1 g/0 L"), HasSubstr("is nothing"));
  EXPECT_THAT(Refused("1,500 g/L"), HasSubstr("two ways"));
  EXPECT_THAT(Refused("1 gr/L"), HasSubstr("write g or grain"));
  EXPECT_THAT(Refused("0.000000000000000001 grain/0.123456789012345677 tsp"),
              HasSubstr("too fine a ratio"));
}

RC_GTEST_PROP(RateProperty, TheSameRatioWhateverTheUnits, ()) {
  const int64_t grams = *rc::gen::inRange<int64_t>(1, 100'000);
  const int64_t volume_ul = *rc::gen::inRange<int64_t>(1'000'000, 1'000'000'000'000);
  const Rate per_hl = Of(absl::StrCat(grams, " g/hL"));
  RC_ASSERT(per_hl == Of(absl::StrCat(grams, "0 mg/L")));
  RC_ASSERT(per_hl == Of(absl::StrCat(grams, " kg/1000 hL")));
  const __int128 exact = __int128{grams} * 1'000'000 * volume_ul;  // in ug times uL per hL
  const absl::StatusOr<Amount> dose = per_hl.Times(volume_ul);
  RC_ASSERT(dose.ok());
  const __int128 off = 2 * (__int128{dose->base} * 100'000'000 - exact);
  RC_ASSERT(off <= 100'000'000);
  RC_ASSERT(off >= -100'000'000);
}

}  // namespace
}  // namespace rundlet
