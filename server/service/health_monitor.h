#ifndef RUNDLET_SERVER_SERVICE_HEALTH_MONITOR_H_
#define RUNDLET_SERVER_SERVICE_HEALTH_MONITOR_H_

#include <functional>
#include <thread>

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"

namespace rundlet::server {

// Says whether the database answers, by asking it again and again. A probe may hang for as long as
// it likes, as it does when the database is stopped in its tracks: the answer is then "no" after
// `patience` all the same.
class HealthMonitor {
 public:
  struct Options {
    std::function<bool()> probe;             // true if the database answered; may block
    std::function<void(bool healthy)> tell;  // called at the start and at every change
    absl::Duration interval = absl::Seconds(1);
    absl::Duration patience = absl::Seconds(3);
  };

  // Tells "yes" to begin with: make it when the database has just answered.
  explicit HealthMonitor(Options options);
  // Tells "no". Waits for a probe that is under way.
  ~HealthMonitor();
  HealthMonitor(const HealthMonitor&) = delete;
  HealthMonitor& operator=(const HealthMonitor&) = delete;

 private:
  void Probe() ABSL_LOCKS_EXCLUDED(mutex_);
  void Watch() ABSL_LOCKS_EXCLUDED(mutex_);

  const Options options_;
  absl::Mutex mutex_;
  bool stopping_ ABSL_GUARDED_BY(mutex_) = false;
  bool answered_ ABSL_GUARDED_BY(mutex_) = true;                             // the last probe
  absl::Time asked_since_ ABSL_GUARDED_BY(mutex_) = absl::InfiniteFuture();  // one under way
  std::thread prober_;
  std::thread watcher_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_HEALTH_MONITOR_H_
