#include "tests/load/crowd.h"

#include <atomic>
#include <thread>
#include <vector>

#include "absl/base/thread_annotations.h"
#include "absl/strings/str_cat.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/clock.h"

namespace rundlet::load {

absl::StatusOr<std::deque<LoadDevice>> NewDevices(LoadWorld& world, const Uuid& cellar_id,
                                                  const std::string& name, int count) {
  constexpr int kFirstEntries = 6;  // its key, its vessels, lot and material, its wine
  std::deque<LoadDevice> devices;
  CallTimes not_counted;
  for (int i = 0; i < count; ++i) {
    absl::StatusOr<LoadDevice> device = world.NewDevice(cellar_id, absl::StrCat(name, " ", i + 1));
    if (!device.ok()) return device.status();
    devices.push_back(*std::move(device));
    LoadDevice& made = devices.back();
    if (absl::Status status = made.Push(made.Write(kFirstEntries), not_counted); !status.ok())
      return status;
  }
  return devices;
}

absl::StatusOr<CallTimes> WorkTogether(std::deque<LoadDevice>& devices, absl::Duration time,
                                       const Work& work) {
  absl::Mutex mutex;
  CallTimes all;
  absl::Status first_error;
  std::atomic<bool> over = false;
  std::vector<std::thread> threads;
  for (LoadDevice& device : devices) {
    threads.emplace_back([&] {
      CallTimes times;
      absl::Status status;
      for (int round = 0; status.ok() && !over; ++round) status = work(device, round, times);
      absl::MutexLock lock(&mutex);
      all.Add(times);
      first_error.Update(status);
    });
  }
  absl::SleepFor(time);  // the measured time itself
  over = true;
  for (std::thread& thread : threads) thread.join();
  if (!first_error.ok()) return first_error;
  return all;
}

absl::Status MixedWork(LoadDevice& device, int round, CallTimes& times) {
  switch (round % 10) {
    case 3:
    case 7:
      return device.Pull(times, 200);
    case 5:
      return device.Board(times);
    case 9:
      return device.Trace(times);
    default:
      return device.Push(device.Write(1 + round % 3), times);
  }
}

}  // namespace rundlet::load
