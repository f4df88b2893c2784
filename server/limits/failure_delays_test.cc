// Goal: an address that fails and fails waits longer and longer, one that slips now and then never
// waits, and nobody waits for another. Method: a clock set by hand.
#include "server/limits/failure_delays.h"

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

class FailureDelaysTest : public ::testing::Test {
 protected:
  void Fail(int times, const std::string& address = "192.0.2.1") {
    for (int i = 0; i < times; ++i) delays_.Failed(address);
  }
  absl::Duration Wait(const std::string& address = "192.0.2.1") const {
    return delays_.WaitOf(address);
  }

  absl::Time now_ = absl::FromUnixSeconds(1'000'000);
  FailureDelays delays_{{.free = 3,
                         .forget_one = absl::Seconds(10),
                         .first_delay = absl::Seconds(1),
                         .longest_delay = absl::Seconds(60),
                         .max_addresses = 100},
                        [this] { return now_; }};
};

TEST_F(FailureDelaysTest, TheWaitDoublesUpToTheLongest) {
  Fail(3);
  EXPECT_EQ(Wait(), absl::ZeroDuration());
  Fail(1);
  EXPECT_EQ(Wait(), absl::Seconds(1));
  Fail(1);
  EXPECT_EQ(Wait(), absl::Seconds(2));
  now_ += absl::Milliseconds(500);
  EXPECT_EQ(Wait(), absl::Milliseconds(1500));
  Fail(1000);
  EXPECT_EQ(Wait(), absl::Seconds(60));
  now_ += absl::Seconds(60);
  EXPECT_EQ(Wait(), absl::ZeroDuration());
}

TEST_F(FailureDelaysTest, FailuresAreForgotten) {
  Fail(1000);
  now_ += absl::Seconds(10) * 20;
  Fail(3);
  EXPECT_EQ(Wait(), absl::ZeroDuration()) << "as if nothing had been";
  for (int i = 0; i < 1000; ++i) {
    now_ += absl::Seconds(10);
    Fail(1);
    ASSERT_EQ(Wait(), absl::ZeroDuration()) << "who slips now and then never waits";
  }
}

TEST_F(FailureDelaysTest, AFirstDelayBeyondTheLongestIsTheLongest) {
  FailureDelays delays(
      {.free = 0, .first_delay = absl::Seconds(60), .longest_delay = absl::Seconds(10)},
      [this] { return now_; });
  for (int i = 0; i < 3; ++i) {
    delays.Failed("192.0.2.1");
    EXPECT_EQ(delays.WaitOf("192.0.2.1"), absl::Seconds(10));
  }
}

TEST_F(FailureDelaysTest, NobodyWaitsForAnother) {
  Fail(10);
  EXPECT_EQ(Wait("192.0.2.2"), absl::ZeroDuration());
}

TEST_F(FailureDelaysTest, MemoryIsBounded) {
  Fail(10);
  for (int i = 0; i < 99; ++i) Fail(1, absl::StrCat("198.51.100.", i));
  EXPECT_GT(Wait(), absl::ZeroDuration());
  Fail(1, "203.0.113.1");
  EXPECT_EQ(Wait(), absl::ZeroDuration()) << "the hundred and first puts the oldest out";
}

}  // namespace
}  // namespace rundlet::server
