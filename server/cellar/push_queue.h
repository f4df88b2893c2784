#ifndef RUNDLET_SERVER_CELLAR_PUSH_QUEUE_H_
#define RUNDLET_SERVER_CELLAR_PUSH_QUEUE_H_

#include <deque>
#include <functional>
#include <memory>
#include <vector>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/status/status.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "server/cellar/batch_writer.h"
#include "server/cellar/push.h"
#include "server/worker_pool.h"

namespace rundlet::server {

// Pushes on their way into the journal. Each active cellar has one task at a time in the shared
// worker pool: it writes what waits for that cellar as one batch, and what arrives meanwhile is its
// next one. After each batch the task goes behind those of the other cellars, so that a busy cellar
// cannot hold up the others.
//
// Thread-safe. The pool must be stopped before this goes away.
class PushQueue {
 public:
  PushQueue(BatchWriter& writer, WorkerPool& workers, std::function<absl::Time()> now)
      : writer_(writer), workers_(workers), now_(std::move(now)) {}

  // Takes the push in; its `done` is called when it is decided, or with an error. If too much waits
  // already, that is called at once with kResourceExhausted.
  void Submit(std::unique_ptr<Push> push) ABSL_LOCKS_EXCLUDED(mutex_);

  // What waits for its batch, of all cellars.
  struct Waiting {
    size_t pushes = 0, bytes = 0;
  };
  Waiting waiting() const ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct Lane {
    std::deque<std::unique_ptr<Push>> waiting;
    size_t bytes = 0;
  };

  // False if it must wait no more.
  bool TryEnqueue(std::unique_ptr<Push>& push) ABSL_LOCKS_EXCLUDED(mutex_);
  // The task of a cellar.
  void WriteNext(const Uuid& cellar_id) ABSL_LOCKS_EXCLUDED(mutex_);
  std::vector<std::unique_ptr<Push>> TakeBatch(const Uuid& cellar_id) ABSL_LOCKS_EXCLUDED(mutex_);
  void WriteBatch(const Uuid& cellar_id, std::vector<std::unique_ptr<Push>> batch);

  BatchWriter& writer_;
  WorkerPool& workers_;
  const std::function<absl::Time()> now_;
  mutable absl::Mutex mutex_;
  absl::flat_hash_map<Uuid, Lane> lanes_ ABSL_GUARDED_BY(mutex_);  // of cellars that have a task
  size_t bytes_ ABSL_GUARDED_BY(mutex_) = 0;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_PUSH_QUEUE_H_
