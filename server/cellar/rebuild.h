#ifndef RUNDLET_SERVER_CELLAR_REBUILD_H_
#define RUNDLET_SERVER_CELLAR_REBUILD_H_

#include <cstdint>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "server/pg/connection_pool.h"
#include "server/store/projection_store.h"

namespace rundlet::server {

struct RebuildResult {
  uint64_t entries = 0;
  Hash digest = {};                               // StateDigest of the fold
  std::vector<ProjectionDifference> differences;  // of a comparison
};

// Folds a cellar's journal from nothing and writes its projections anew. Pushes to the cellar wait
// meanwhile. On failure the projections are as they were.
absl::StatusOr<RebuildResult> RebuildProjections(ConnectionPool& pool, const Uuid& cellar_id,
                                                 absl::Time deadline);

// The same, but writes nothing: says how the projections differ from what they should be, at most
// `limit` rows a table. Pushes to the cellar wait meanwhile.
absl::StatusOr<RebuildResult> CompareProjections(ConnectionPool& pool, const Uuid& cellar_id,
                                                 int limit, absl::Time deadline);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_REBUILD_H_
