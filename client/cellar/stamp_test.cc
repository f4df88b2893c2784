// Goal: a thing that happens now is filed after everything already known of the same vessels, and
// is moved by nothing else. Method: folds of a few entries, some dated ahead of the clock.
#include "client/cellar/stamp.h"

#include <gtest/gtest.h>

#include "client/testing/entries.h"

namespace rundlet::client {
namespace {

constexpr int64_t kNowUs = 1'772'442'000'000'000;
constexpr int64_t kHourUs = 3'600'000'000;

class StampTest : public ::testing::Test {
 protected:
  StampTest() {
    for (const uint64_t vessel : {1, 2}) {
      v1::Entry entry;
      entry.mutable_registered()->set_thing_id(NumberedId(7, vessel).ToBytes());
      entry.mutable_registered()->mutable_vessel()->set_name("C" + std::to_string(vessel));
      Add(entry, kNowUs - 10 * kHourUs);
    }
  }
  void Add(v1::Entry entry, int64_t at_us) {
    entry.set_effective_at_us(at_us);
    const auto written =
        WriteEntry(TestDevice().writer(), NumberedId(8, head_.device_seq), entry, head_);
    ASSERT_TRUE(written.ok()) << written.status();
    fold_.Add(written->entry);
  }
  static v1::Entry Gauge(uint64_t vessel) {
    v1::Entry entry;
    entry.mutable_gauging()->set_vessel_id(NumberedId(7, vessel).ToBytes());
    return entry;
  }
  Fold fold_;
  ChainHead head_;
};

TEST_F(StampTest, NowWhereNothingLiesAhead) {
  Add(Gauge(1), kNowUs - 1);
  EXPECT_EQ(TimeForNow(fold_, {Gauge(1)}, kNowUs), kNowUs);
}

TEST_F(StampTest, AfterTheLatestOfTheSameVessel) {
  Add(Gauge(1), kNowUs + kHourUs);
  Add(Gauge(1), kNowUs + 2 * kHourUs);
  Add(Gauge(2), kNowUs + 5 * kHourUs);
  EXPECT_EQ(TimeForNow(fold_, {Gauge(1)}, kNowUs), kNowUs + 2 * kHourUs + 1);
}

TEST_F(StampTest, AfterOneOfTheSameMoment) {
  Add(Gauge(1), kNowUs);
  EXPECT_EQ(TimeForNow(fold_, {Gauge(1)}, kNowUs), kNowUs + 1);
}

TEST_F(StampTest, OtherVesselsMoveNothing) {
  Add(Gauge(2), kNowUs + kHourUs);
  EXPECT_EQ(TimeForNow(fold_, {Gauge(1)}, kNowUs), kNowUs);
}

TEST_F(StampTest, WhatIsSaidOfThingsComesAfterEverySuchSaying) {
  v1::Entry change;
  change.mutable_changed()->set_thing_id(NumberedId(7, 1).ToBytes());
  change.mutable_changed()->mutable_vessel()->set_location("shed");
  Add(change, kNowUs + kHourUs);
  EXPECT_EQ(TimeForNow(fold_, {change}, kNowUs), kNowUs + kHourUs + 1);
  EXPECT_EQ(TimeForNow(fold_, {Gauge(1)}, kNowUs), kNowUs);
}

}  // namespace
}  // namespace rundlet::client
