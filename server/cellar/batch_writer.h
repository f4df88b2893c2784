#ifndef RUNDLET_SERVER_CELLAR_BATCH_WRITER_H_
#define RUNDLET_SERVER_CELLAR_BATCH_WRITER_H_

#include <functional>
#include <memory>

#include "absl/status/status.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "core/base/uuid.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push.h"
#include "server/pg/connection_pool.h"

namespace rundlet::server {

// Writes pushes of one cellar in one transaction: locks the head, brings the cached fold up to it,
// looks each push's device up anew, judges every entry, folds, writes the journal and what differs
// in the projections, commits.
//
// Thread-safe; calls for one cellar wait for each other.
class BatchWriter {
 public:
  // `now` says when entries are received. All are borrowed and must outlive this.
  BatchWriter(ConnectionPool& pool, CellarCache& cache, std::function<absl::Time()> now)
      : pool_(pool), cache_(cache), now_(std::move(now)) {}

  // On success each of `pushes` is refused (Push::refused), or every entry of it is decided and
  // what was recorded is durable; returns the size of the journal. On failure nothing was decided -
  // though where the error is kUnavailable it may turn out to have been recorded, and pushing again
  // then says so - and the dispositions mean nothing.
  absl::StatusOr<uint64_t> Write(const Uuid& cellar_id, absl::Span<Push* const> pushes,
                                 absl::Time deadline);

  struct Instruments {
    Histogram entries{kSizeBounds};    // that a transaction recorded
    Histogram head_wait{kWaitBounds};  // for the lock of the cellar's head, with the round trip
    Histogram commit{kWaitBounds};
  };
  const Instruments& instruments() const { return instruments_; }

 private:
  absl::StatusOr<uint64_t> WriteLocked(CellarTransaction& transaction, uint64_t size,
                                       CachedCellar& cellar, absl::Span<Push* const> pushes)
      ABSL_EXCLUSIVE_LOCKS_REQUIRED(cellar.mutex);

  ConnectionPool& pool_;
  CellarCache& cache_;
  const std::function<absl::Time()> now_;
  Instruments instruments_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_BATCH_WRITER_H_
