#ifndef RUNDLET_SERVER_SYNC_MUTEX_H_
#define RUNDLET_SERVER_SYNC_MUTEX_H_

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"

#if defined(__SANITIZE_THREAD__)
#define RUNDLET_THREAD_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(thread_sanitizer)
#define RUNDLET_THREAD_SANITIZER 1
#endif
#endif

#ifdef RUNDLET_THREAD_SANITIZER
extern "C" void __tsan_acquire(void* address);
extern "C" void __tsan_release(void* address);
#endif

namespace rundlet::server {

// absl::Mutex, made visible to the thread sanitizer. Abseil as distributions build it does not tell
// the sanitizer of its locks, so every use of absl::Mutex itself is reported as a race there. In
// other builds this class adds nothing.
//
//   Mutex mutex_;
//   int size_ ABSL_GUARDED_BY(mutex_);
//   ...
//   MutexLock lock(&mutex_);
//   mutex_.Await([this]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return size_ > 0; });
class ABSL_LOCKABLE Mutex {
 public:
  Mutex() = default;
  Mutex(const Mutex&) = delete;
  Mutex& operator=(const Mutex&) = delete;

  void Lock() ABSL_EXCLUSIVE_LOCK_FUNCTION() {
    mutex_.Lock();
    Acquired();
  }
  void Unlock() ABSL_UNLOCK_FUNCTION() {
    Releasing();
    mutex_.Unlock();
  }

  // Lets the mutex go until `predicate` holds, at most until `deadline`, and takes it again. True
  // if the predicate holds. Whoever unlocks the mutex evaluates it, in any thread: it must only
  // read what the mutex guards.
  template <typename Predicate>
  bool AwaitUntil(const Predicate& predicate, absl::Time deadline)
      ABSL_EXCLUSIVE_LOCKS_REQUIRED(this) {
    const auto seen = [this, &predicate]() ABSL_NO_THREAD_SAFETY_ANALYSIS {
      Acquired();
      const bool holds = predicate();
      Releasing();
      return holds;
    };
    Releasing();
    const bool holds = mutex_.AwaitWithDeadline(absl::Condition(&seen), deadline);
    Acquired();
    return holds;
  }
  template <typename Predicate>
  void Await(const Predicate& predicate) ABSL_EXCLUSIVE_LOCKS_REQUIRED(this) {
    AwaitUntil(predicate, absl::InfiniteFuture());
  }

 private:
#ifdef RUNDLET_THREAD_SANITIZER
  void Acquired() { __tsan_acquire(this); }
  void Releasing() { __tsan_release(this); }
#else
  void Acquired() {}
  void Releasing() {}
#endif

  absl::Mutex mutex_;
};

// Holds a mutex while it lives.
class ABSL_SCOPED_LOCKABLE MutexLock {
 public:
  explicit MutexLock(Mutex* mutex) ABSL_EXCLUSIVE_LOCK_FUNCTION(mutex) : mutex_(mutex) {
    mutex_->Lock();
  }
  ~MutexLock() ABSL_UNLOCK_FUNCTION() { mutex_->Unlock(); }
  MutexLock(const MutexLock&) = delete;
  MutexLock& operator=(const MutexLock&) = delete;

 private:
  Mutex* const mutex_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SYNC_MUTEX_H_
