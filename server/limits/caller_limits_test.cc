// Goal: who asks for too much is told when to come back, others notice nothing, and honest work of
// any size meets no limit. Method: a clock set by hand.
#include "server/limits/caller_limits.h"

#include <vector>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "rundlet/v1/error_details.pb.h"
#include "server/errors.h"

namespace rundlet::server {
namespace {

using Ticket = std::shared_ptr<CallerLimits::Ticket>;

Uuid Device(uint8_t n) { return *Uuid::FromBytes(std::string(16, static_cast<char>(n))); }

absl::Duration RetryOf(const absl::Status& status) {
  const auto payload = status.GetPayload("type.googleapis.com/google.rpc.RetryInfo");
  v1::RetryInfo retry;
  if (!payload.has_value() || !retry.ParseFromString(std::string(*payload)))
    return absl::ZeroDuration();
  return absl::Seconds(retry.retry_delay().seconds()) +
         absl::Nanoseconds(retry.retry_delay().nanos());
}

class CallerLimitsTest : public ::testing::Test {
 protected:
  // A call from its beginning to its end.
  absl::Status Call(CallerLimits& limits, uint8_t device, size_t bytes = 0,
                    const std::string& address = "192.0.2.1") {
    const auto ticket = limits.Begin(address);
    return ticket.ok() ? limits.Identify(**ticket, Device(device), bytes) : ticket.status();
  }
  std::function<absl::Time()> Clock() {
    return [this] { return now_; };
  }

  absl::Time now_ = absl::FromUnixSeconds(1'000'000);
  CallerLimits few_{{.device_calls = {.per_second = 1, .burst = 5},
                     .device_push_bytes = {.per_second = 100, .burst = 1000},
                     .device_in_flight = 2,
                     .address_calls = {.per_second = 10, .burst = 20},
                     .address_in_flight = 3,
                     .max_known = 100},
                    Clock()};
};

TEST_F(CallerLimitsTest, ADeviceHasItsRate) {
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(Call(few_, 1).ok());
  const absl::Status refused = Call(few_, 1);
  EXPECT_EQ(refused.code(), absl::StatusCode::kResourceExhausted);
  EXPECT_EQ(ReasonOf(refused), "TOO_MANY_CALLS");
  EXPECT_EQ(RetryOf(refused), absl::Seconds(1));
  EXPECT_TRUE(Call(few_, 2).ok()) << "another device notices nothing";
  now_ += RetryOf(refused);
  EXPECT_TRUE(Call(few_, 1).ok()) << "the hint was right";
}

TEST_F(CallerLimitsTest, AnAddressHasItsRate) {
  for (uint8_t i = 0; i < 20; ++i) EXPECT_TRUE(Call(few_, i).ok());
  EXPECT_EQ(ReasonOf(Call(few_, 50)), "TOO_MANY_CALLS");
  EXPECT_TRUE(Call(few_, 50, 0, "192.0.2.2").ok());
}

TEST_F(CallerLimitsTest, BytesAreCounted) {
  EXPECT_TRUE(Call(few_, 1, 900).ok());
  EXPECT_EQ(RetryOf(Call(few_, 1, 200)), absl::Seconds(1));
  now_ += absl::Seconds(1);
  EXPECT_TRUE(Call(few_, 1, 200).ok());
}

TEST_F(CallerLimitsTest, CallsUnderWayAreCountedUntilTheyEnd) {
  std::vector<Ticket> tickets;
  for (int i = 0; i < 3; ++i) {
    auto ticket = few_.Begin("192.0.2.1");
    ASSERT_TRUE(ticket.ok()) << ticket.status();
    tickets.push_back(*ticket);
  }
  EXPECT_EQ(ReasonOf(few_.Begin("192.0.2.1").status()), "TOO_MANY_CALLS");
  EXPECT_TRUE(few_.Identify(*tickets[0], Device(1), 0).ok());
  EXPECT_TRUE(few_.Identify(*tickets[1], Device(1), 0).ok());
  EXPECT_EQ(ReasonOf(few_.Identify(*tickets[2], Device(1), 0)), "TOO_MANY_CALLS");
  tickets.clear();
  for (int i = 0; i < 2; ++i) EXPECT_TRUE(Call(few_, 1).ok()) << "all of them ended";
}

TEST_F(CallerLimitsTest, HonestWorkMeetsNoLimit) {
  CallerLimits limits({}, Clock());
  // A first sync of 100,000 entries of 3 KiB, as fast as it goes: no time passes at all.
  for (int push = 0; push < 100; ++push) ASSERT_TRUE(Call(limits, 1, 3'000'000).ok()) << push;
  // 64 clients of one household, each with four calls at a time, twenty times a second, for a
  // while.
  for (int tenth = 0; tenth < 100; ++tenth) {
    std::vector<Ticket> tickets;
    for (uint8_t device = 2; device < 66; ++device) {
      for (int call = 0; call < 4; ++call) {
        const auto ticket = limits.Begin("192.0.2.1");
        ASSERT_TRUE(ticket.ok()) << ticket.status();
        ASSERT_TRUE(limits.Identify(**ticket, Device(device), 10'000).ok());
        tickets.push_back(*ticket);
      }
    }
    now_ += absl::Milliseconds(200);
  }
}

TEST_F(CallerLimitsTest, MemoryIsBounded) {
  RecentTable<int> table(3);
  table.At("a", 1) = 7;
  table.At("b", 1);
  table.At("c", 1);
  EXPECT_EQ(table.At("a", 1), 7);
  table.At("d", 1);  // puts out b, which came least recently
  EXPECT_EQ(table.size(), 3);
  EXPECT_EQ(table.Find("b"), nullptr);
  EXPECT_EQ(*table.Find("a"), 7);
}

}  // namespace
}  // namespace rundlet::server
