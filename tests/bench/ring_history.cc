#include "tests/bench/ring_history.h"

#include "absl/strings/str_cat.h"

namespace rundlet::bench {
namespace {

using namespace rundlet::testing;  // NOLINT: the words of the builder

constexpr int kBarrels = 10;

std::string Barrel(int ring, int barrel) { return absl::StrCat("barrel ", ring, ".", barrel); }

}  // namespace

std::string RingLot(int ring) { return absl::StrCat("lot ", ring); }

std::vector<WrittenEntry> RingHistory(TestDevice& device, int rings, int toppings) {
  std::vector<WrittenEntry> history;
  const auto put = [&](WrittenEntry written) { history.push_back(std::move(written)); };
  put(device.RegisterBin("rack"));
  for (int ring = 0; ring < rings; ++ring) {
    put(device.RegisterLot(RingLot(ring)));
    put(device.RegisterLot(absl::StrCat("base ", ring)));
    put(device.RegisterBottling(absl::StrCat("run ", ring), RingLot(ring)));
    std::vector<v1::Fill> base;
    for (int barrel = 0; barrel < kBarrels; ++barrel) {
      put(device.RegisterVessel(Barrel(ring, barrel), 225 * kLitre));
      if (barrel > 0) base.push_back(Fill(Barrel(ring, barrel), 200 * kLitre));
    }
    put(device.Receive(RingLot(ring), {Fill(Barrel(ring, 0), 200 * kLitre)}));
    put(device.Receive(absl::StrCat("base ", ring), base));
  }
  for (int topping = 0; topping < toppings; ++topping) {
    for (int ring = 0; ring < rings; ++ring) {
      const int from = topping % kBarrels;
      const int to = (topping + 1) % kBarrels;
      put(device.Top(Draw(Barrel(ring, from), 5 * kLitre), {Fill(Barrel(ring, to), 5 * kLitre)}));
    }
  }
  for (int ring = 0; ring < rings; ++ring) {
    put(device.Bottle(absl::StrCat("run ", ring), {Draw(Barrel(ring, 3), 150 * kLitre)},
                      {Group("rack", 200)}));
    put(device.TakeBottles(BottlesOf(absl::StrCat("run ", ring), 2), "rack"));
  }
  return history;
}

}  // namespace rundlet::bench
