// Case 6: what is handed in comes twice, out of order, in overlapping pieces, at the same time, and
// by two processes of one device. Method: a device of our own pushes windows of its entries in
// random order from two threads; each answer must name the same place as all others of that entry.
// Then two real clients work on one book and sync it at the same time.
#include <thread>

#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(30);

// Pushes random windows of the entries until each was in one, in the order of a shuffled hand.
void PushWindows(Pusher& hand, const std::vector<WrittenEntry>& entries, uint64_t seed,
                 int windows) {
  Random random(seed);
  const auto count = static_cast<int64_t>(entries.size());
  for (int i = 0; i < windows; ++i) {
    const int64_t begin = random.Below(count);
    const int64_t end = random.Between(begin + 1, std::min(count, begin + 15));
    std::vector<WrittenEntry> window(entries.begin() + begin, entries.begin() + end);
    if (random.Chance(300)) window.push_back(window.front());  // twice in one push
    if (random.Chance(400)) random.Shuffle(window);
    EXPECT_TRUE(hand.PushUntilDecided(window, absl::Now() + kBound)) << hand.last_error();
  }
  EXPECT_TRUE(hand.PushUntilDecided(entries, absl::Now() + kBound)) << hand.last_error();
}

TEST_F(FaultCase, Case06_BatchesTwiceAndMixed) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Pusher writer(fleet.JoinHome("Hand 1"), TheFaultOptions().seed, fleet.promises());
  Pusher twin(writer.home(), TheFaultOptions().seed, fleet.promises());
  for (int round = 0; round < Times(3, 100) && !HasFailure(); ++round) {
    const std::vector<WrittenEntry> entries = writer.WriteMany(60);
    const uint64_t seed = random().Next();
    std::thread other([&] { PushWindows(twin, entries, seed + 1, 15); });
    PushWindows(writer, entries, seed, 15);
    other.join();
    tally().runs += 30;
  }

  ClientProcess& maud = fleet.maud();
  for (int round = 0; round < Times(2, 30) && !HasFailure(); ++round) {
    std::vector<std::thread> hands;
    for (int hand = 0; hand < 2; ++hand) {
      hands.emplace_back([&] {
        for (int i = 0; i < 5; ++i) fleet.MustSave(maud, "draw sample T1 10mL");
        const Finished sync = fleet.Sync(maud);
        EXPECT_TRUE(EndedWell(sync)) << sync.err;
      });
    }
    for (std::thread& hand : hands) hand.join();
    ++tally().runs;
  }
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
