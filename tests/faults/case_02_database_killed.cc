// Case 2: the database dies under load. Method: eight devices push without a pause; the postmaster
// is killed, and the server has to start it again by itself. Recovery is until a page is answered
// that was begun after the kill.
#include <signal.h>

#include "tests/faults/case.h"
#include "tests/faults/load.h"

namespace rundlet::testing {
namespace {

constexpr int kDevices = 8;
constexpr absl::Duration kBound = absl::Seconds(60);

TEST_F(FaultCase, Case02_DatabaseKilledUnderLoad) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Load load(fleet, kDevices, TheFaultOptions().seed);
  load.Start();
  for (int i = 0; i < Times(3, 50) && !HasFailure(); ++i) {
    ASSERT_TRUE(load.AwaitAnswers(random().Between(5, 60), kBound)) << load.last_error();
    absl::SleepFor(absl::Microseconds(random().Below(20'000)));
    const pid_t postmaster = fleet.server().postmaster_pid();
    ASSERT_GT(postmaster, 1);
    const absl::Time killed = absl::Now();
    ASSERT_EQ(kill(postmaster, SIGKILL), 0);
    ++tally().runs;
    // As many may have been answered before the kill and not have been counted.
    ASSERT_TRUE(load.AwaitAnswers(kDevices + 1, kBound)) << load.last_error();
    Recovered(absl::Now() - killed, kBound);
  }
  EXPECT_TRUE(load.Stop(kBound)) << load.last_error();
  EXPECT_TRUE(Await([&] { return fleet.IsServing(); }, kBound));
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
