// Goal: amounts print readably, and the exact form loses nothing.
// Method: examples at every change of unit; a property: parse(print exact(x)) == x over the range.
#include "core/quantity/format.h"

#include <limits>
#include <string>

#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

constexpr int64_t kMin = std::numeric_limits<int64_t>::min();
constexpr int64_t kMax = std::numeric_limits<int64_t>::max();

TEST(FormatTest, VolumeForPeople) {
  EXPECT_EQ(FormatVolume(0), "0 mL");
  EXPECT_EQ(FormatVolume(400), "0.4 mL");
  EXPECT_EQ(FormatVolume(4'929), "4.929 mL");
  EXPECT_EQ(FormatVolume(750'000), "750 mL");
  EXPECT_EQ(FormatVolume(123'456), "123.5 mL");
  EXPECT_EQ(FormatVolume(999'949), "999.9 mL");
  EXPECT_EQ(FormatVolume(999'950), "1 L");
  EXPECT_EQ(FormatVolume(18'500'000), "18.5 L");
  EXPECT_EQ(FormatVolume(18'927'059), "18.927 L");
  EXPECT_EQ(FormatVolume(99'999'500), "100 L");
  EXPECT_EQ(FormatVolume(225'254'000), "225.25 L");
  EXPECT_EQ(FormatVolume(-200'000), "-200 mL");
  EXPECT_EQ(FormatVolume(kMin), "-9223372036854.78 L");
}

TEST(FormatTest, MassAndCountForPeople) {
  EXPECT_EQ(FormatMass(7), "7 ug");
  EXPECT_EQ(FormatMass(1'500), "1.5 mg");
  EXPECT_EQ(FormatMass(150'000), "150 mg");
  EXPECT_EQ(FormatMass(999'950), "1 g");
  EXPECT_EQ(FormatMass(28'349'523), "28.35 g");
  EXPECT_EQ(FormatMass(999'999'500), "1 kg");
  EXPECT_EQ(FormatMass(1'250'000'000), "1.25 kg");
  EXPECT_EQ(FormatCount(12), "12 pcs");
  EXPECT_EQ(FormatAmount({Dimension::kCount, 3}), "3 pcs");
}

TEST(FormatTest, UsUnitsMarkWhatIsRounded) {
  EXPECT_EQ(FormatVolume(18'927'059, UnitSystem::kUs), "5 gal");
  EXPECT_EQ(FormatVolume(18'500'000, UnitSystem::kUs), "~4.89 gal");
  EXPECT_EQ(FormatVolume(-18'500'000, UnitSystem::kUs), "~-4.89 gal");
  EXPECT_EQ(FormatVolume(-18'927'059, UnitSystem::kUs), "-5 gal");
  EXPECT_EQ(FormatVolume(750'000, UnitSystem::kUs), "~25.4 fl oz");
  EXPECT_EQ(FormatVolume(7'393, UnitSystem::kUs), "1.5 tsp");
  EXPECT_EQ(FormatVolume(0, UnitSystem::kUs), "0 tsp");
  EXPECT_EQ(FormatMass(907'184'740, UnitSystem::kUs), "2 lb");
  EXPECT_EQ(FormatMass(20'000'000, UnitSystem::kUs), "~0.705 oz");
  EXPECT_EQ(FormatVolume(kMin, UnitSystem::kUs)[0], '~');
  EXPECT_FALSE(ParseAmount(FormatVolume(18'500'000, UnitSystem::kUs)).ok());
}

TEST(FormatTest, Exact) {
  EXPECT_EQ(FormatVolumeExact(18'927'059), "18.927059 L");
  EXPECT_EQ(FormatVolumeExact(18'500'000), "18.5 L");
  EXPECT_EQ(FormatVolumeExact(1), "0.001 mL");
  EXPECT_EQ(FormatVolumeExact(999'999), "999.999 mL");
  EXPECT_EQ(FormatVolumeExact(kMax), "9223372036854.775807 L");
  EXPECT_EQ(FormatVolumeExact(kMin), "-9223372036854.775808 L");
  EXPECT_EQ(FormatMassExact(28'349'523), "28.349523 g");
  EXPECT_EQ(FormatMassExact(1'000'000'001), "1.000000001 kg");
}

TEST(FormatTest, Rates) {
  EXPECT_EQ(FormatRate(*ParseRate("50 g/hL")), "500 mg/L");
  EXPECT_EQ(FormatRate(*ParseRate("1.5 g/L")), "1.5 g/L");
  EXPECT_EQ(FormatRate(*ParseRate("30 ppm")), "30 mg/L");
  EXPECT_EQ(FormatRate(*ParseRate("1 tablet/gal")), "0.264 pcs/L");
  EXPECT_EQ(FormatRate(Rate{Dimension::kMass, 1, 100'000'000}), "1/100000000 ug/uL");
}

RC_GTEST_PROP(FormatProperty, ExactReadsBack, ()) {
  const auto dimension = *rc::gen::element(Dimension::kVolume, Dimension::kMass, Dimension::kCount);
  // Every size alike: a random number of bits, not a random number, which is nearly always large.
  const int64_t limit =
      *rc::gen::element<int64_t>(10, 1'000, 1'000'000, 1'000'000'000, MaxBase(dimension));
  const int64_t base = *rc::gen::inRange<int64_t>(1, std::min(limit, MaxBase(dimension)) + 1);
  const Amount amount{dimension, base};
  const absl::StatusOr<Amount> back = ParseAmount(FormatAmountExact(amount));
  RC_ASSERT(back.ok());
  RC_ASSERT(*back == amount);
}

RC_GTEST_PROP(FormatProperty, RoundedMetricIsWithinOnePartInTwoThousand, ()) {
  const auto dimension = *rc::gen::element(Dimension::kVolume, Dimension::kMass);
  const int64_t limit =
      *rc::gen::element<int64_t>(1'000, 1'000'000, 1'000'000'000, 1'000'000'000'000);
  const int64_t base = *rc::gen::inRange<int64_t>(1, limit);
  const absl::StatusOr<Amount> back = ParseAmount(FormatAmount({dimension, base}));
  RC_ASSERT(back.ok());
  RC_ASSERT(std::abs(back->base - base) * 2000 <= base);
}

// What carries no mark in US units must read back to the same number.
RC_GTEST_PROP(FormatProperty, UnmarkedUsFiguresReadBack, ()) {
  const auto dimension = *rc::gen::element(Dimension::kVolume, Dimension::kMass);
  const int64_t quarters = *rc::gen::inRange<int64_t>(1, 10'000);
  const absl::string_view unit = dimension == Dimension::kVolume
                                     ? *rc::gen::element<absl::string_view>("gal", "fl oz", "tsp")
                                     : *rc::gen::element<absl::string_view>("lb", "oz");
  const Unit& row = UnitNamed(unit);
  const absl::StatusOr<Amount> amount = AmountOf(Number{quarters, 4}, row, "quarters");
  RC_ASSERT(amount.ok());
  const std::string printed = FormatAmount(*amount, UnitSystem::kUs);
  RC_CLASSIFY(printed[0] == '~', "marked");
  if (printed[0] == '~') return;
  const absl::StatusOr<Amount> back = ParseAmount(printed);
  RC_ASSERT(back.ok());
  RC_ASSERT(back->base == amount->base);
}

}  // namespace
}  // namespace rundlet
