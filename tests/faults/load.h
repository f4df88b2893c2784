#ifndef RUNDLET_TESTS_FAULTS_LOAD_H_
#define RUNDLET_TESTS_FAULTS_LOAD_H_

#include <atomic>
#include <cstdint>
#include <deque>
#include <string>
#include <thread>
#include <vector>

#include "tests/faults/fleet.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {

// Several devices at work at once, each a thread that pushes page after page, and each page until
// it is answered, whatever happens to the server meanwhile.
class Load {
 public:
  Load(Fleet& fleet, int devices, uint64_t seed, int page = 20);
  ~Load();
  Load(const Load&) = delete;
  Load& operator=(const Load&) = delete;

  void Start();
  // Waits for so many more answered pages; false if they do not come within `patience`.
  bool AwaitAnswers(int64_t pages, absl::Duration patience);
  // Every device brings its page to an end, and stops. False if one could not within `patience`.
  bool Stop(absl::Duration patience);

  int64_t answers() const { return answers_; }
  // For messages; only after Stop is it settled.
  std::string last_error() const { return pushers_.front().last_error(); }

 private:
  void Work(Pusher& pusher);

  const int page_;
  std::deque<Pusher> pushers_;
  std::vector<std::thread> threads_;
  std::atomic<bool> stopping_ = false;
  std::atomic<int64_t> stop_by_us_ = INT64_MAX;
  std::atomic<int64_t> answers_ = 0;
  std::atomic<int64_t> given_up_ = 0;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_LOAD_H_
