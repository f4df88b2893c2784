// Case 9: the network goes away in the middle of a push or a pull, and flaps. Method: the real
// client sits in a network namespace of its own behind a wire that is taken out and put back at
// random moments while it syncs; where the machine does not allow that, a gate is shut and opened
// instead. After the last healing the outbox must be empty within the bound, by plain syncs.
#include <atomic>
#include <functional>
#include <thread>

#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/gate.h"
#include "tests/faults/link.h"
#include "tests/faults/outbox.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);

// Takes the network away and gives it back until it is told to stop.
class Flapping {
 public:
  Flapping(uint64_t seed, std::function<void()> down, std::function<void()> up)
      : random_(seed), down_(std::move(down)), up_(std::move(up)), thread_([this] { Flap(); }) {}
  ~Flapping() { Stop(); }
  int Stop() {
    stopping_ = true;
    if (thread_.joinable()) thread_.join();
    return times_;
  }

 private:
  void Flap() {
    while (!stopping_) {
      absl::SleepFor(absl::Milliseconds(random_.Between(20, 400)));
      down_();
      absl::SleepFor(absl::Milliseconds(random_.Between(20, 400)));
      up_();
      ++times_;
    }
  }

  Random random_;
  const std::function<void()> down_;
  const std::function<void()> up_;
  std::atomic<bool> stopping_ = false;
  int times_ = 0;
  std::thread thread_;
};

// Some hundred entries on each side of the wire, so that pushes and pulls last a while.
void GiveWork(Fleet& fleet, const std::string& home, int entries) {
  Outbox outbox(home);
  const std::string barrel = absl::StrCat("barrel of ", home, absl::ToUnixNanos(absl::Now()));
  outbox.Put(outbox.device().RegisterVessel(barrel));
  for (int i = 0; i < entries; ++i)
    outbox.Put(outbox.device().Observe(barrel, std::string(800, 'n')));
  outbox.Save(fleet.promises());
}

TEST_F(FaultCase, Case09_NetworkFlapping) {
  std::string why_not;
  const std::unique_ptr<Link> link = Link::Make(why_not);
  if (link == nullptr)
    Remark(absl::StrCat("left out: no network namespace (", why_not, "); a gate flaps"));
  ServerOptions options;
  if (link != nullptr) options.host = link->address();
  Fleet fleet(options);
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& tobias = fleet.Join("Tobias Wren");
  const std::unique_ptr<Gate> gate =
      link == nullptr ? std::make_unique<Gate>(fleet.server().address()) : nullptr;
  if (link != nullptr) {
    tobias.RunUnder(link->AtTheOtherEnd());
  } else {
    tobias.Do({"server", "--address", gate->address()});
  }
  for (int round = 0; round < Times(2, 30) && !HasFailure(); ++round) {
    GiveWork(fleet, tobias.home(), 500);
    GiveWork(fleet, fleet.maud().home(), 500);
    EXPECT_EQ(fleet.Sync(fleet.maud()).exit_code, 0);
    Flapping flapping(
        random().Next(), [&] { link != nullptr ? link->Down() : gate->Shut(); },
        [&] { link != nullptr ? link->Up() : gate->Open(); });
    for (int i = 0; i < Times(3, 10); ++i) fleet.Sync(tobias);
    tally().runs += flapping.Stop();
    const absl::Time healed = absl::Now();
    EXPECT_TRUE(Await(
        [&] {
          return EndedWell(fleet.Sync(tobias)) && CountIn(ReadBook(tobias.home()), "outbox") == 0;
        },
        kBound));
    Recovered(absl::Now() - healed, kBound);
  }
  EXPECT_GE(tally().runs, 2);
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
