// How many single entries a second become durable when many devices of one cellar hand them in at
// once, each waiting for its answer, next to one transaction for each entry. From the queue of
// pushes on: signatures, TLS and gRPC are not in it (tests/load measures with them).
//
// Usage: online_bench [ENTRIES [DEVICES]]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <thread>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/synchronization/notification.h"
#include "absl/time/clock.h"
#include "server/cellar/push_queue.h"
#include "server/testing/bench_database.h"
#include "server/testing/cellar_test.h"
#include "server/testing/test_device.h"

namespace rundlet::server {
namespace {

// One device, and entries that it has written already: all at the minute in which they are handed
// in, so that each comes behind the others.
struct Hand {
  Device device;
  std::vector<std::string> entries;
  size_t next = 0;
};

std::vector<Hand> MakeHands(Admin& admin, const Uuid& cellar_id, size_t count, size_t alone,
                            size_t entries) {
  std::vector<Hand> hands;
  for (size_t i = 0; i < count; ++i) {
    const std::string name = absl::StrCat("hand ", i);
    const auto made = MakeTestDevice(admin, {.cellar_id = cellar_id,
                                             .member_id = testing::IdOf(name),
                                             .member_name = name,
                                             .role = MemberRole::kMaster});
    if (!made.ok()) {
      std::fprintf(stderr, "error: %s\n", made.status().ToString().c_str());
      std::exit(1);
    }
    testing::TestDevice writer(name, {.cellar_id = made->device.cellar_id,
                                      .member_id = made->device.member_id,
                                      .device_id = made->device.device_id});
    std::vector<WrittenEntry> written = {writer.RegisterVessel(name, 1000 * testing::kLitre)};
    for (size_t n = 1; n < entries; ++n) {
      // The first hand has worked alone before.
      const size_t minute = i == 0 ? n : n + alone;
      writer.At(testing::kDawnUs + static_cast<int64_t>(minute) * testing::kMinuteUs);
      written.push_back(writer.Observe(name));
    }
    hands.push_back({.device = made->device, .entries = BytesOf(written)});
  }
  return hands;
}

// Hands in the hand's next entries one by one, each once the one before is durable.
void Work(PushQueue& queue, Hand& hand, size_t count) {
  Sha256 sha;
  for (size_t i = 0; i < count; ++i) {
    auto push = std::make_unique<Push>();
    push->device = hand.device;
    push->entries.push_back(CheckAlone(hand.device, hand.entries[hand.next++], sha));
    absl::Notification answered;
    push->done = [&answered](const absl::StatusOr<PushResult>& result) {
      if (!result.ok() || result->dispositions[0].kind() != v1::DISPOSITION_KIND_RECORDED) {
        std::fprintf(stderr, "error: %s\n", result.status().ToString().c_str());
        std::exit(1);
      }
      answered.Notify();
    };
    queue.Submit(std::move(push));
    answered.WaitForNotification();
  }
}

// Entries a second.
double Rate(PushQueue& queue, absl::Span<Hand> hands, size_t each) {
  const absl::Time start = absl::Now();
  std::vector<std::thread> threads;
  for (Hand& hand : hands) threads.emplace_back([&queue, &hand, each] { Work(queue, hand, each); });
  for (std::thread& thread : threads) thread.join();
  return static_cast<double>(hands.size() * each) / absl::ToDoubleSeconds(absl::Now() - start);
}

absl::Status Run(size_t entries, size_t devices) {
  const auto bench = BenchDatabase::Start();
  if (!bench.ok()) return bench.status();
  const std::string& database = (*bench)->connection_string();
  Admin& admin = (*bench)->admin();
  Replica replica(database);
  WorkerPool workers(4, 512);
  PushQueue queue(replica.writer(), workers, absl::Now);
  const size_t alone = std::max<size_t>(entries / 10, 1);
  const size_t each = std::max<size_t>(entries / devices, 1);
  for (int round = 0; round < 3; ++round) {
    const auto made = MakeTestCellar(admin, absl::StrCat("Circle ", round));
    if (!made.ok()) return made.status();
    std::vector<Hand> hands =
        MakeHands(admin, made->device.cellar_id, devices, alone, alone + each);
    const double one = Rate(queue, absl::MakeSpan(hands).subspan(0, 1), alone);
    const double many = Rate(queue, absl::MakeSpan(hands), each);
    std::printf("a transaction an entry: %.0f/s, %zu devices together: %.0f/s (%.1f times)\n", one,
                devices, many, many / one);
  }
  workers.Stop();
  return (*bench)->Stop();
}

}  // namespace
}  // namespace rundlet::server

int main(int argc, char** argv) {
  const size_t entries = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 20'000;
  const size_t devices = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 64;
  const absl::Status status = rundlet::server::Run(entries, std::max<size_t>(devices, 1));
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
