#ifndef RUNDLET_SERVER_LIMITS_FAILURE_DELAYS_H_
#define RUNDLET_SERVER_LIMITS_FAILURE_DELAYS_H_

#include <functional>
#include <string>
#include <utility>

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "server/limits/recent_table.h"

namespace rundlet::server {

// Slows down an address from which one attempt after the other fails. Some are free; each one
// beyond them doubles how long the next has to wait. Failures are forgotten one by one.
// Thread-safe.
class FailureDelays {
 public:
  struct Options {
    double free = 30;
    absl::Duration forget_one = absl::Seconds(20);
    absl::Duration first_delay = absl::Seconds(1);
    absl::Duration longest_delay = absl::Minutes(5);
    size_t max_addresses = 10'000;
  };

  FailureDelays(const Options& options, std::function<absl::Time()> now)
      : options_(options), now_(std::move(now)), known_(options.max_addresses) {}

  // How long this address must not try; zero: it may.
  absl::Duration WaitOf(const std::string& address) const ABSL_LOCKS_EXCLUDED(mutex_);
  // An attempt of it failed.
  void Failed(const std::string& address) ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct Record {
    double failures = 0;  // at `at`
    absl::Time at;
    absl::Time blocked_until = absl::InfinitePast();
  };

  const Options options_;
  const std::function<absl::Time()> now_;
  mutable absl::Mutex mutex_;
  RecentTable<Record> known_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LIMITS_FAILURE_DELAYS_H_
