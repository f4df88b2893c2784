// Goal: written numbers are read exactly and printed exactly; rounding goes to the even half.
// Method: examples of every form, the tie cases, and a property: print, read, same ratio.
#include "core/quantity/number.h"

#include <string>

#include "core/quantity/rounding.h"
#include "core/quantity/text.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::HasSubstr;

// "num/den|rest", or the message.
std::string Taken(absl::string_view text) {
  const absl::StatusOr<Number> number = TakeNumber(&text);
  if (!number.ok()) return std::string(number.status().message());
  return std::to_string(number->num) + "/" + std::to_string(number->den) + "|" + std::string(text) +
         (number->ambiguous_comma ? "?" : "");
}

TEST(NumberTest, ReadsEveryForm) {
  EXPECT_EQ(Taken("18.5L"), "185/10|L");
  EXPECT_EQ(Taken("5 gal"), "5/1|gal");
  EXPECT_EQ(Taken(".5 L"), "5/10|L");
  EXPECT_EQ(Taken("1,5 L"), "15/10|L");
  EXPECT_EQ(Taken("1/2 tsp"), "1/2|tsp");
  EXPECT_EQ(Taken("1 1/2 tsp"), "3/2|tsp");
  EXPECT_EQ(Taken("-2C"), "-2/1|C");
  EXPECT_EQ(Taken("+2"), "2/1|");
  EXPECT_EQ(Taken("1.0960"), "10960/10000|");
  EXPECT_EQ(Taken("1 /gal"), "1/1|/gal") << "a slash without digits after it is no fraction";
  EXPECT_EQ(Taken("000000000000000000007 L"), "7/1|L");
}

TEST(NumberTest, MarksACommaThatMayGroup) {
  EXPECT_EQ(Taken("1,500"), "1500/1000|?");
  EXPECT_EQ(Taken("999,000"), "999000/1000|?");
  EXPECT_EQ(Taken("0,500"), "500/1000|") << "no group of thousands begins with 0";
  EXPECT_EQ(Taken("1500,250"), "1500250/1000|") << "four digits are no group";
  EXPECT_EQ(Taken("1,5000"), "15000/10000|");
  EXPECT_EQ(Taken("1.500"), "1500/1000|") << "a point is a point";
}

TEST(NumberTest, RefusesWithAdvice) {
  EXPECT_THAT(Taken(""), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Taken("L"), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Taken("."), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Taken("--2"), HasSubstr("does not begin with a number"));
  EXPECT_THAT(Taken("1,500.5"), HasSubstr("more than one decimal sign"));
  EXPECT_THAT(Taken("1.500,5"), HasSubstr("more than one decimal sign"));
  EXPECT_THAT(Taken("1 500 L"), HasSubstr("space between its digits"));
  EXPECT_THAT(Taken("1/0 L"), HasSubstr("divides by zero"));
  EXPECT_THAT(Taken("1234567890123456789"), HasSubstr("more than 18 digits"));
  EXPECT_THAT(Taken("0.1234567890123456789"), HasSubstr("more than 18 digits"));
  EXPECT_THAT(Taken("1 1/1234567890"), HasSubstr("more than 9 digits"));
}

TEST(NumberTest, Prints) {
  EXPECT_EQ(PrintRatio(185, 10, 0, 6), "18.5");
  EXPECT_EQ(PrintRatio(1096, 1000, 4, 6), "1.0960");
  EXPECT_EQ(PrintRatio(5, 1, 0, 6), "5");
  EXPECT_EQ(PrintRatio(500, 1, 0, 0), "500") << "zeros before the point stay";
  EXPECT_EQ(PrintRatio(-1, 2, 0, 3), "-0.5");
  EXPECT_EQ(PrintRatio(-1, 10000, 0, 3), "0") << "no minus zero";
  EXPECT_EQ(PrintRatio(1, 3, 0, 4), "0.3333");
  EXPECT_EQ(PrintRatio(5, 10, 0, 0), "0");
  EXPECT_EQ(PrintRatio(15, 10, 0, 0), "2");
  EXPECT_EQ(PrintRatio(999'996, 1'000, 0, 2), "1000");
}

TEST(RoundingTest, HalvesGoToEven) {
  EXPECT_EQ(DivideHalfEven(5, 10), (Rounded{0, false}));
  EXPECT_EQ(DivideHalfEven(15, 10), (Rounded{2, false}));
  EXPECT_EQ(DivideHalfEven(25, 10), (Rounded{2, false}));
  EXPECT_EQ(DivideHalfEven(-15, 10), (Rounded{-2, false}));
  EXPECT_EQ(DivideHalfEven(-25, 10), (Rounded{-2, false}));
  EXPECT_EQ(DivideHalfEven(26, 10), (Rounded{3, false}));
  EXPECT_EQ(DivideHalfEven(-26, 10), (Rounded{-3, false}));
  EXPECT_EQ(DivideHalfEven(30, 10), (Rounded{3, true}));
  EXPECT_EQ(DivideHalfEven(__int128{1} << 63, 1), std::nullopt);
  EXPECT_EQ(DivideHalfEven(-(__int128{1} << 63), 1)->value, INT64_MIN);
}

RC_GTEST_PROP(RoundingProperty, IsNearest, (int64_t num, uint32_t below)) {
  const __int128 den = __int128{below} + 1;
  const std::optional<Rounded> rounded = DivideHalfEven(num, den);
  RC_ASSERT(rounded.has_value());
  const __int128 off = 2 * (num - __int128{rounded->value} * den);
  RC_ASSERT(off <= den);
  RC_ASSERT(off >= -den);
  if (off == den || off == -den) RC_ASSERT(rounded->value % 2 == 0);
  RC_ASSERT(rounded->exact == (off == 0));
}

RC_GTEST_PROP(NumberProperty, PrintedNumbersReadBack, ()) {
  const int64_t value =
      *rc::gen::inRange<int64_t>(-999'999'999'999'999'999, 999'999'999'999'999'999);
  const int decimals = *rc::gen::inRange(0, 10);
  int64_t den = 1;
  for (int i = 0; i < decimals; ++i) den *= 10;
  const std::string printed = PrintRatio(value, den, 0, decimals);
  absl::string_view rest = printed;
  const absl::StatusOr<Number> back = TakeNumber(&rest);
  RC_ASSERT(back.ok());
  RC_ASSERT(rest.empty());
  RC_ASSERT(__int128{back->num} * den == __int128{value} * back->den);
}

TEST(TextTest, TidiesLookAlikes) {
  EXPECT_EQ(Tidy("  5\t µL "), "5 uL");
  EXPECT_EQ(Tidy("5 μg"), "5 ug");
  EXPECT_EQ(Tidy("1½ tsp"), "1 1/2 tsp");
  EXPECT_EQ(Tidy("½ tsp"), "1/2 tsp");
  EXPECT_EQ(Tidy("2 m³"), "2 m3");
  EXPECT_EQ(Tidy("−2\u00A0℃"), "-2 °C");
}

TEST(TextTest, QuotesAnyBytesAsUtf8) {
  EXPECT_EQ(Quoted("24.5 °Bx"), "\"24.5 °Bx\"");
  EXPECT_EQ(Quoted("a\nb"), "\"a\\x0ab\"");
  EXPECT_EQ(Quoted("\xff\xc3"), "\"\\xff\\xc3\"");
  EXPECT_EQ(Quoted("\xed\xa0\x80"), "\"\\xed\\xa0\\x80\"") << "a surrogate is no UTF-8";
  EXPECT_EQ(Quoted("\xc0\xaf"), "\"\\xc0\\xaf\"") << "an overlong form is no UTF-8";
  EXPECT_LE(Quoted(std::string(1000, 'x')).size(), 70u);
}

}  // namespace
}  // namespace rundlet
