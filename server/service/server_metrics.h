#ifndef RUNDLET_SERVER_SERVICE_SERVER_METRICS_H_
#define RUNDLET_SERVER_SERVICE_SERVER_METRICS_H_

#include "server/cellar/batch_writer.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push_queue.h"
#include "server/metrics/registry.h"
#include "server/pg/connection_pool.h"
#include "server/worker_pool.h"

namespace rundlet::server {

// The parts of a server by their names on the page of metrics; docs/operations.md says what to
// watch. They are borrowed, and read when the page is.
struct MeteredParts {
  const ConnectionPool& pool;
  const CellarCache& cache;
  const BatchWriter& writer;
  const PushQueue& pushes;
  const WorkerPool& readers;
};
void AddParts(const MeteredParts& parts, Registry& registry);

// When all cellars were audited last: read from the data directory at each printing.
void AddAuditAge(const std::string& data_dir, std::function<absl::Time()> now, Registry& registry);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_SERVER_METRICS_H_
