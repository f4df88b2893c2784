// Goal: sums of money are read as people write them and kept to the cent, or refused.
// Method: examples.
#include "core/quantity/money.h"

#include <gtest/gtest.h>

namespace rundlet {
namespace {

TEST(MoneyTest, ReadsWhatPeopleWrite) {
  for (const auto& [text, cents] : {std::pair{"12", 1200},
                                    {"12.5", 1250},
                                    {" 12.50 EUR", 1250},
                                    {"12,50", 1250},
                                    {"0.01", 1},
                                    {"0", 0}}) {
    const auto read = ParseMoney(text, "EUR");
    ASSERT_TRUE(read.ok()) << text << ": " << read.status();
    EXPECT_EQ(*read, cents) << text;
  }
}

TEST(MoneyTest, RefusesWhatIsNoSum) {
  for (const char* text :
       {"", "EUR", "-1", "36 USD", "0.005", "1,500", "12 %", "99999999999999999999"}) {
    EXPECT_FALSE(ParseMoney(text, "EUR").ok()) << text;
  }
}

TEST(MoneyTest, PrintsTwoDecimals) {
  EXPECT_EQ(FormatMoney(1250, "EUR"), "12.50 EUR");
  EXPECT_EQ(FormatMoney(-5, ""), "-0.05");
  EXPECT_EQ(FormatMoney(0, "GBP"), "0.00 GBP");
}

}  // namespace
}  // namespace rundlet
