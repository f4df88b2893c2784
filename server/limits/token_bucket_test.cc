// Goal: a rate lets its burst through at once, its rate in the long run, and says how long to wait.
// Method: a clock set by hand.
#include "server/limits/token_bucket.h"

#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

constexpr Rate kRate{.per_second = 10, .burst = 30};

TEST(TokenBucketTest, ABurstAndThenTheRate) {
  absl::Time now = absl::FromUnixSeconds(1'000);
  TokenBucket bucket(kRate, now);
  for (int i = 0; i < 30; ++i) EXPECT_EQ(bucket.Take(1, kRate, now), absl::ZeroDuration());
  EXPECT_EQ(bucket.Take(1, kRate, now), absl::Milliseconds(100));
  now += absl::Milliseconds(100);
  EXPECT_EQ(bucket.Take(1, kRate, now), absl::ZeroDuration());
  EXPECT_GT(bucket.Take(1, kRate, now), absl::ZeroDuration());
  now += absl::Hours(1);
  int taken = 0;
  while (bucket.Take(1, kRate, now) == absl::ZeroDuration()) ++taken;
  EXPECT_EQ(taken, 30) << "an hour saves up no more than a burst";
}

TEST(TokenBucketTest, MoreThanABurstIsOwed) {
  absl::Time now = absl::FromUnixSeconds(1'000);
  TokenBucket bucket(kRate, now);
  EXPECT_EQ(bucket.Take(50, kRate, now), absl::ZeroDuration());
  EXPECT_EQ(bucket.Take(1, kRate, now), absl::Milliseconds(2'100));
}

TEST(TokenBucketTest, AClockThatGoesBackRefillsNothing) {
  const absl::Time now = absl::FromUnixSeconds(1'000);
  TokenBucket bucket(kRate, now);
  EXPECT_EQ(bucket.Take(30, kRate, now), absl::ZeroDuration());
  EXPECT_GT(bucket.Take(1, kRate, now - absl::Hours(1)), absl::ZeroDuration());
  EXPECT_GT(bucket.Take(1, kRate, now), absl::ZeroDuration());
}

}  // namespace
}  // namespace rundlet::server
