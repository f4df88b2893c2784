#include "tests/faults/load.h"

#include "absl/strings/str_cat.h"

namespace rundlet::testing {

Load::Load(Fleet& fleet, int devices, uint64_t seed, int page) : page_(page) {
  for (int i = 0; i < devices; ++i) {
    const std::string home = fleet.JoinHome(absl::StrCat("Hand ", i + 1));
    pushers_.emplace_back(home, seed * 1000 + static_cast<uint64_t>(i), fleet.promises());
  }
}

Load::~Load() { Stop(absl::ZeroDuration()); }

void Load::Start() {
  for (Pusher& pusher : pushers_) threads_.emplace_back([this, &pusher] { Work(pusher); });
}

void Load::Work(Pusher& pusher) {
  while (!stopping_) {
    const std::vector<WrittenEntry> page = pusher.WriteMany(page_);
    bool decided = false;
    while (!decided && absl::ToUnixMicros(absl::Now()) < stop_by_us_)
      decided = pusher.PushUntilDecided(page, absl::Now() + absl::Seconds(1));
    if (!decided) {
      ++given_up_;
      return;
    }
    ++answers_;
  }
}

bool Load::AwaitAnswers(int64_t pages, absl::Duration patience) {
  const int64_t wanted = answers_ + pages;
  return Await([&] { return answers_ >= wanted; }, patience);
}

bool Load::Stop(absl::Duration patience) {
  stop_by_us_ = absl::ToUnixMicros(absl::Now() + patience);
  stopping_ = true;
  for (std::thread& thread : threads_) thread.join();
  threads_.clear();
  return given_up_ == 0;
}

}  // namespace rundlet::testing
