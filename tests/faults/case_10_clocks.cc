// Case 10: clocks are wrong: a client's by thirty days in either direction, the server's by five
// minutes. Method: clients with clocks of their own (RUNDLET_NOW), a server under libfaketime,
// which is started again with another clock in between. Numbers, cursors and answers must not care;
// a note must name the clock.
#include <filesystem>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "tests/faults/case.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);

std::string Iso(absl::Time at) {
  return absl::FormatTime("%Y-%m-%dT%H:%M:%SZ", at, absl::UTCTimeZone());
}

// Empty where it is not installed.
std::string FakeTimeLibrary() {
  for (const char* machine : {"x86_64-linux-gnu", "aarch64-linux-gnu"}) {
    const std::string path = absl::StrCat("/usr/lib/", machine, "/faketime/libfaketimeMT.so.1");
    if (std::filesystem::exists(path)) return path;
  }
  return "";
}

TEST_F(FaultCase, Case10_ClocksWrong) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& fast = fleet.Join("Tobias Wren");
  ClientProcess& slow = fleet.Join("Isolde Thornbury");
  Pusher hand(fleet.JoinHome("Hand 1"), TheFaultOptions().seed, fleet.promises());
  const std::string library = FakeTimeLibrary();
  if (library.empty())
    Remark("left out: libfaketime is not installed: the server's clock stays right");
  for (const char* offset : {"+0s", "+300s", "-300s", "+0s"}) {
    SCOPED_TRACE(absl::StrCat("the server's clock: ", offset));
    if (!library.empty()) {
      EXPECT_EQ(fleet.server().Stop(), 0);
      fleet.server().options().environment = {{"LD_PRELOAD", library}, {"FAKETIME", offset}};
      fleet.Restart();
    }
    ++tally().runs;
    fast.SetClock(Iso(absl::Now() + absl::Hours(24 * 30)));
    slow.SetClock(Iso(absl::Now() - absl::Hours(24 * 30)));
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
  const Finished told = fast.Try("draw sample T1 10mL");
  EXPECT_TRUE(absl::StrContains(told.err, "the clock of this device is ahead")) << told.err;
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
