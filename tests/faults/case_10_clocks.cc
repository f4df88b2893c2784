// Case 10: clocks are wrong: by thirty days and by five minutes, in either direction. Method:
// clients with clocks of their own (RUNDLET_NOW) against one server. Only the difference between
// two clocks can be seen by anybody, so a server that is five minutes ahead is one whose clients
// are all five minutes behind. Numbers, cursors and answers must not care; a note must name the
// clock.
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "tests/faults/case.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);
constexpr absl::Duration kMonth = absl::Hours(24 * 30);

std::string Iso(absl::Time at) {
  return absl::FormatTime("%Y-%m-%dT%H:%M:%SZ", at, absl::UTCTimeZone());
}

TEST_F(FaultCase, Case10_ClocksWrong) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& fast = fleet.Join("Tobias Wren");
  ClientProcess& slow = fleet.Join("Isolde Thornbury");
  Pusher hand(fleet.JoinHome("Hand 1"), TheFaultOptions().seed, fleet.promises());
  for (const absl::Duration off : {absl::Minutes(5), kMonth, absl::Minutes(5), kMonth}) {
    SCOPED_TRACE(absl::StrCat("off by ", absl::FormatDuration(off)));
    ++tally().runs;
    fast.SetClock(Iso(absl::Now() + off));
    slow.SetClock(Iso(absl::Now() - off));
    const std::vector<WrittenEntry> page = hand.WriteMany(20);
    for (int i = 0; i < 2; ++i)  // the second time: the same answers
      EXPECT_TRUE(hand.PushUntilDecided(page, absl::Now() + kBound)) << hand.last_error();
    for (ClientProcess* device : {&fast, &slow, &fleet.maud(), &slow, &fast}) {
      fleet.MustSave(*device, "draw sample T1 10mL");
      const Finished sync = fleet.Sync(*device);
      EXPECT_TRUE(EndedWell(sync)) << sync.out << sync.err;
    }
  }
  const Finished behind = slow.Try("draw sample T1 10mL");
  EXPECT_TRUE(absl::StrContains(behind.err, "the clock of this device says")) << behind.err;
  const Finished ahead = fast.Try("draw sample T1 10mL");
  EXPECT_TRUE(absl::StrContains(ahead.err, "the clock of this device is ahead")) << ahead.err;
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
