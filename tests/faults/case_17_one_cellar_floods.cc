// Case 17: one cellar pushes a hundred thousand entries. Method: a device of the neighbours' cellar
// hands in one entry and fetches it, again and again, first alone, then while the circle's devices
// push large pages as fast as they can; the 99th percentiles are compared. Load and server share
// the machine here, and every other program that runs on it, so that only a long run, which should
// have the machine to itself, holds them to the factor of two; the short one to a bound.
#include <algorithm>

#include "absl/strings/str_format.h"
#include "tests/faults/case.h"
#include "tests/faults/load.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(120);
constexpr absl::Duration kNobodyNotices = absl::Milliseconds(100);
constexpr absl::Duration kShortRunBound = absl::Seconds(3);
constexpr int kPage = 500;

// The 99th percentile of so many rounds of push and pull.
absl::Duration Percentile99(Pusher& neighbour, int rounds) {
  std::vector<absl::Duration> took;
  for (int i = 0; i < rounds; ++i) {
    const std::vector<WrittenEntry> entry = neighbour.WriteMany(1);
    const absl::Time begin = absl::Now();
    EXPECT_TRUE(neighbour.PushUntilDecided(entry, begin + kBound)) << neighbour.last_error();
    v1::PullResponse page;
    const grpc::Status pulled = neighbour.Pull(0, page);
    EXPECT_TRUE(pulled.ok()) << pulled.error_message();
    took.push_back(absl::Now() - begin);
  }
  std::sort(took.begin(), took.end());
  return took[took.size() * 99 / 100];
}

TEST_F(FaultCase, Case17_OneCellarFloods) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Promises neighbours;  // what they are told is not the circle's
  Pusher neighbour(fleet.neighbour().home(), TheFaultOptions().seed, neighbours);
  const int rounds = Times(100, 500);
  Percentile99(neighbour, 20);  // so that both measures find it warm
  const absl::Duration alone = Percentile99(neighbour, rounds);

  Load load(fleet, 2, TheFaultOptions().seed, kPage);
  load.Start();
  ASSERT_TRUE(load.AwaitAnswers(2, kBound)) << load.last_error();
  const absl::Duration beside = Percentile99(neighbour, rounds);
  ASSERT_TRUE(load.AwaitAnswers(Times(8, 200) - load.answers(), absl::Minutes(10)))
      << load.last_error();
  EXPECT_TRUE(load.Stop(kBound)) << load.last_error();
  ++tally().runs;
  Remark(absl::StrFormat("p99 of the other cellar %.0f ms alone, %.0f ms beside %d entries",
                         absl::ToDoubleMilliseconds(alone), absl::ToDoubleMilliseconds(beside),
                         load.answers() * kPage));
  EXPECT_LT(beside, is_long() ? std::max(2 * alone, kNobodyNotices) : kShortRunBound);
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
