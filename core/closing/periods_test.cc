// Goal: what is closed follows from closings and reopenings in the order of the journal alone.
// Method: sequences of the two by hand, and random ones against a set of closed days.
#include "core/closing/periods.h"

#include <set>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::closing {
namespace {

v1::Entry Closed(int64_t until_us) {
  v1::Entry entry;
  entry.mutable_period_closed()->set_until_us(until_us);
  return entry;
}

v1::Entry Reopened(int64_t from_us) {
  v1::Entry entry;
  entry.mutable_period_reopened()->set_from_us(from_us);
  return entry;
}

TEST(PeriodsTest, NothingIsClosedInTheBeginning) {
  Periods periods;
  EXPECT_FALSE(periods.IsClosed(0));
  EXPECT_EQ(periods.ClosingOf(0), nullptr);
  periods.Take(0, v1::Entry());
  periods.Take(1, Reopened(5));
  EXPECT_FALSE(periods.IsClosed(0));
  EXPECT_TRUE(periods.reopenings().empty()) << "what is open is not opened";
}

TEST(PeriodsTest, TheEarliestClosingThatHoldsAMomentSpeaksForIt) {
  Periods periods;
  periods.Take(3, Closed(100));
  periods.Take(7, Closed(200));
  periods.Take(8, Closed(150));  // closes nothing new
  EXPECT_TRUE(periods.IsClosed(199));
  EXPECT_FALSE(periods.IsClosed(200));
  EXPECT_EQ(periods.ClosingOf(99)->row, 3u);
  EXPECT_EQ(periods.ClosingOf(100)->row, 7u);
  EXPECT_EQ(periods.ClosingOf(200), nullptr);
}

TEST(PeriodsTest, AReopeningCutsAndAClosingThatGoesFurtherSeesItThrough) {
  Periods periods;
  periods.Take(1, Closed(100));
  periods.Take(2, Closed(200));
  periods.Take(3, Reopened(150));
  EXPECT_EQ(periods.until_us(), 150);
  ASSERT_EQ(periods.standing().size(), 2u);
  EXPECT_TRUE(periods.standing()[0].whole);
  EXPECT_FALSE(periods.standing()[1].whole);
  ASSERT_EQ(periods.reopenings().size(), 1u);
  EXPECT_EQ(periods.reopenings()[0].until_us, 200);
  EXPECT_EQ(periods.reopenings()[0].closing, 2u);
  periods.Take(4, Closed(200));
  EXPECT_EQ(periods.ClosingOf(99)->row, 1u);
  EXPECT_EQ(periods.ClosingOf(120)->row, 4u) << "not the one that was cut short";
  periods.Take(5, Reopened(50));
  EXPECT_EQ(periods.until_us(), 50);
  EXPECT_EQ(periods.ClosingOf(20)->row, 1u);
  EXPECT_FALSE(periods.ClosingOf(20)->whole);
}

TEST(PeriodsTest, RandomSequencesCloseWhatASetOfDaysSays) {
  for (uint64_t seed = testing::FirstSeed(), end = seed + testing::Runs(200); seed < end; ++seed) {
    testing::Random random(seed);
    Periods periods;
    std::set<int64_t> closed;
    for (RowId row = 0; row < 12; ++row) {
      const int64_t day = random.Below(20);
      if (random.Chance(500)) {
        periods.Take(row, Closed(day));
        for (int64_t d = 0; d < day; ++d) closed.insert(d);
      } else {
        periods.Take(row, Reopened(day));
        closed.erase(closed.lower_bound(day), closed.end());
      }
      for (int64_t d = 0; d < 20; ++d) {
        ASSERT_EQ(periods.IsClosed(d), closed.contains(d)) << "day " << d << " seed " << seed;
        ASSERT_EQ(periods.ClosingOf(d) != nullptr, closed.contains(d));
      }
    }
  }
}

}  // namespace
}  // namespace rundlet::closing
