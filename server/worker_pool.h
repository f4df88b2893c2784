#ifndef RUNDLET_SERVER_WORKER_POOL_H_
#define RUNDLET_SERVER_WORKER_POOL_H_

#include <deque>
#include <functional>
#include <thread>
#include <vector>

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"

namespace rundlet::server {

// A fixed number of threads that run tasks in the order of their submission, with a bound on how
// many may wait. Thread-safe.
class WorkerPool {
 public:
  using Task = std::function<void()>;

  WorkerPool(int threads, size_t max_waiting);
  // Runs what was submitted, then ends.
  ~WorkerPool();
  WorkerPool(const WorkerPool&) = delete;
  WorkerPool& operator=(const WorkerPool&) = delete;

  // False, and the task is not run, if as many wait as may, or Stop was called.
  bool TrySubmit(Task task) ABSL_LOCKS_EXCLUDED(mutex_);

  // For a running task that goes on as another one behind those that wait. Always taken in.
  void Requeue(Task task) ABSL_LOCKS_EXCLUDED(mutex_);

  // Takes nothing in any more, runs what waits and joins the threads. Not from a task.
  void Stop() ABSL_LOCKS_EXCLUDED(mutex_);

  // How many tasks wait for a thread.
  size_t waiting() const ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  void Work() ABSL_LOCKS_EXCLUDED(mutex_);

  const size_t max_waiting_;
  mutable absl::Mutex mutex_;
  std::deque<Task> waiting_ ABSL_GUARDED_BY(mutex_);
  bool stopping_ ABSL_GUARDED_BY(mutex_) = false;
  std::vector<std::thread> threads_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_WORKER_POOL_H_
