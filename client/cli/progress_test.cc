// Goal: long work says how far it is, short work says nothing. Method: counted lines.
#include "client/cli/progress.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

namespace rundlet::client {
namespace {

std::string ToldOver(int64_t total) {
  std::ostringstream out;
  Progress progress(out, total, "took", "entries");
  for (int64_t i = 0; i < total; ++i) progress.Step();
  return out.str();
}

TEST(ProgressTest, ALineAtEachTenthOfLongWork) {
  EXPECT_EQ(ToldOver(19'999), "");
  const std::string told = ToldOver(25'000);
  EXPECT_EQ(std::count(told.begin(), told.end(), '\n'), 9);
  EXPECT_TRUE(told.starts_with("took 10 % of 25000 entries\ntook 20 %")) << told;
  EXPECT_TRUE(told.ends_with("took 90 % of 25000 entries\n")) << told;
}

}  // namespace
}  // namespace rundlet::client
