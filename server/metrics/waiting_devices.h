#ifndef RUNDLET_SERVER_METRICS_WAITING_DEVICES_H_
#define RUNDLET_SERVER_METRICS_WAITING_DEVICES_H_

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "server/limits/recent_table.h"

namespace rundlet::server {

// What devices said last of the entries that they still have to hand in: a device that comes and
// cannot get rid of something is found by it. Of one that does not come at all nothing is known
// here. Remembers the ten thousand devices that came last. Thread-safe.
class WaitingDevices {
 public:
  // The oldest entry of the device's outbox has waited for so long; zero: none waits.
  void Told(const Uuid& device_id, absl::Duration oldest) ABSL_LOCKS_EXCLUDED(mutex_);

  struct Summary {
    int devices = 0;  // that have something waiting
    absl::Duration oldest;
  };
  Summary Sum() const ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  mutable absl::Mutex mutex_;
  RecentTable<absl::Duration> oldest_ ABSL_GUARDED_BY(mutex_){10'000};
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_METRICS_WAITING_DEVICES_H_
