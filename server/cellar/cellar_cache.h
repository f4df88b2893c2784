#ifndef RUNDLET_SERVER_CELLAR_CELLAR_CACHE_H_
#define RUNDLET_SERVER_CELLAR_CELLAR_CACHE_H_

#include <list>
#include <memory>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/synchronization/mutex.h"
#include "core/base/uuid.h"
#include "server/cellar/loaded_cellar.h"
#include "server/metrics/instruments.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// A cellar's place in the cache.
//
// Lock order: a thread that needs a database connection borrows it before it takes this mutex, so
// that whoever holds the mutex never waits for a connection that a waiter holds.
struct CachedCellar {
  absl::Mutex mutex;
  // nullptr: not loaded. What is loaded is at or behind the journal, never ahead of it, whenever
  // the mutex is free.
  std::unique_ptr<LoadedCellar> loaded ABSL_GUARDED_BY(mutex);
};

// Loaded cellars, those used last, up to about `max_bytes`. Thread-safe.
class CellarCache {
 public:
  explicit CellarCache(size_t max_bytes) : max_bytes_(max_bytes) {}

  // The cellar's place, which stays in the cache at least as long as the pointer is held.
  std::shared_ptr<CachedCellar> Get(const Uuid& cellar_id) ABSL_LOCKS_EXCLUDED(mutex_);

  // Says what a cellar costs now, and drops those that were used least recently if all together
  // cost too much; not those that somebody holds.
  void SetBytes(const Uuid& cellar_id, size_t bytes) ABSL_LOCKS_EXCLUDED(mutex_);

  size_t bytes() const ABSL_LOCKS_EXCLUDED(mutex_);
  size_t cellars() const ABSL_LOCKS_EXCLUDED(mutex_);
  struct Instruments {
    Counter hits, misses, dropped;
  };
  const Instruments& instruments() const { return instruments_; }

 private:
  struct Slot {
    std::shared_ptr<CachedCellar> cellar;
    size_t bytes = 0;
    std::list<Uuid>::iterator use;
  };

  const size_t max_bytes_;
  Instruments instruments_;
  mutable absl::Mutex mutex_;
  absl::flat_hash_map<Uuid, Slot> slots_ ABSL_GUARDED_BY(mutex_);
  std::list<Uuid> uses_ ABSL_GUARDED_BY(mutex_);  // the last one first
  size_t bytes_ ABSL_GUARDED_BY(mutex_) = 0;
};

// Loads what the journal has up to `size` into the cellar, which was at or behind that. On failure
// the cellar is as good as not loaded.
absl::Status CatchUp(CellarTransaction& transaction, uint64_t size, CachedCellar& cellar)
    ABSL_EXCLUSIVE_LOCKS_REQUIRED(cellar.mutex);

// Calls `read` with the cellar at or past its journal's present size, under its shared lock. The
// transaction is the reader's own; `read` may use it. Errors of storage, of Load, or of `read`.
absl::Status ReadCellar(CellarTransaction& transaction, CellarCache& cache,
                        absl::FunctionRef<absl::Status(const LoadedCellar&)> read);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_CELLAR_CACHE_H_
