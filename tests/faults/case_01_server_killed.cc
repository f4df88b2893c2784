// Case 1: the server is killed at random moments while eight devices hand in. Method: each device
// pushes pages of random work without a pause, and the same page again until it is answered; the
// server is killed, started again, and killed again. Half of the kills hit the postmaster's parent
// alone, which has its database stop by itself; recovery is until health says SERVING.
#include <atomic>
#include <thread>

#include "tests/faults/case.h"
#include "tests/faults/load.h"

namespace rundlet::testing {
namespace {

constexpr int kDevices = 8;
constexpr absl::Duration kBound = absl::Seconds(30);

TEST_F(FaultCase, Case01_ServerKilledUnderLoad) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Load load(fleet, kDevices, TheFaultOptions().seed);
  load.Start();
  for (int i = 0; i < Times(5, 200) && !HasFailure(); ++i) {
    // Somewhere in the work: after so many more answers, and then at any moment of the next.
    ASSERT_TRUE(load.AwaitAnswers(random().Between(5, 60), kBound)) << load.last_error();
    absl::SleepFor(absl::Microseconds(random().Below(20'000)));
    fleet.server().Kill();
    ++tally().runs;
    Recovered(fleet.Restart(), kBound);
  }
  ASSERT_TRUE(load.AwaitAnswers(kDevices, kBound)) << load.last_error();
  EXPECT_TRUE(load.Stop(kBound)) << load.last_error();
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
