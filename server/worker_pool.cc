#include "server/worker_pool.h"

#include <utility>

namespace rundlet::server {

WorkerPool::WorkerPool(int threads, size_t max_waiting) : max_waiting_(max_waiting) {
  for (int i = 0; i < threads; ++i) threads_.emplace_back([this] { Work(); });
}

WorkerPool::~WorkerPool() { Stop(); }

bool WorkerPool::TrySubmit(Task task) {
  absl::MutexLock lock(&mutex_);
  if (stopping_ || waiting_.size() >= max_waiting_) return false;
  waiting_.push_back(std::move(task));
  return true;
}

void WorkerPool::Requeue(Task task) {
  absl::MutexLock lock(&mutex_);
  waiting_.push_back(std::move(task));
}

void WorkerPool::Stop() {
  {
    absl::MutexLock lock(&mutex_);
    stopping_ = true;
  }
  for (std::thread& thread : threads_) thread.join();
  threads_.clear();
}

size_t WorkerPool::waiting() const {
  absl::MutexLock lock(&mutex_);
  return waiting_.size();
}

void WorkerPool::Work() {
  const auto has_news = [this]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) {
    return stopping_ || !waiting_.empty();
  };
  while (true) {
    Task task;
    {
      absl::MutexLock lock(&mutex_);
      mutex_.Await(absl::Condition(&has_news));
      // A task that is running may still go on as another one; its own thread runs that then.
      if (waiting_.empty()) return;
      task = std::move(waiting_.front());
      waiting_.pop_front();
    }
    task();
  }
}

}  // namespace rundlet::server
