#include "server/service/health_monitor.h"

#include <algorithm>
#include <utility>

#include "absl/time/clock.h"

namespace rundlet::server {

HealthMonitor::HealthMonitor(Options options) : options_(std::move(options)) {
  options_.tell(true);
  prober_ = std::thread([this] { Probe(); });
  watcher_ = std::thread([this] { Watch(); });
}

HealthMonitor::~HealthMonitor() {
  {
    absl::MutexLock lock(&mutex_);
    stopping_ = true;
  }
  watcher_.join();
  prober_.join();
}

void HealthMonitor::Probe() {
  while (true) {
    {
      absl::MutexLock lock(&mutex_);
      asked_since_ = absl::Now();
    }
    const bool answered = options_.probe();
    absl::MutexLock lock(&mutex_);
    answered_ = answered;
    asked_since_ = absl::InfiniteFuture();
    if (mutex_.AwaitWithTimeout(absl::Condition(&stopping_), options_.interval)) return;
  }
}

void HealthMonitor::Watch() {
  bool told = true;
  while (true) {
    bool healthy;
    {
      absl::MutexLock lock(&mutex_);
      const auto has_news = [this, told]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) {
        return stopping_ || answered_ != told;
      };
      // What is healthy may cease to be by the mere passing of time.
      const absl::Time look_again =
          told ? std::min(asked_since_ + options_.patience, absl::Now() + options_.interval)
               : absl::InfiniteFuture();
      mutex_.AwaitWithDeadline(absl::Condition(&has_news), look_again);
      if (stopping_) break;
      if (absl::Now() - asked_since_ >= options_.patience) answered_ = false;
      healthy = answered_;
    }
    if (healthy != told) options_.tell(healthy);
    told = healthy;
  }
  if (told) options_.tell(false);
}

}  // namespace rundlet::server
