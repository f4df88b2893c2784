#include "server/service/server_metrics.h"

#include <limits>
#include <utility>

#include "server/audit_record.h"

namespace rundlet::server {
namespace {

void AddWriting(const BatchWriter& writer, const PushQueue& pushes, Registry& registry) {
  registry.Histograms("rundlet_batch_entries", "Entries that one transaction recorded.");
  registry.Add(writer.instruments().entries);
  registry.Histograms("rundlet_head_lock_wait_seconds",
                      "Wait for the lock of a cellar's head, the round trip included.");
  registry.Add(writer.instruments().head_wait);
  registry.Histograms("rundlet_commit_duration_seconds", "How long the commit of a batch took.");
  registry.Add(writer.instruments().commit);
  registry.Gauges("rundlet_queued_pushes", "Pushes that wait for their batch.");
  registry.Add([&pushes] { return static_cast<double>(pushes.waiting().pushes); });
  registry.Gauges("rundlet_queued_push_bytes", "What those take in memory.");
  registry.Add([&pushes] { return static_cast<double>(pushes.waiting().bytes); });
}

void AddCache(const CellarCache& cache, Registry& registry) {
  registry.Counters("rundlet_cache_lookups", "Cellars that were looked for in the cache.");
  registry.Add(cache.instruments().hits, {{"result", "hit"}});
  registry.Add(cache.instruments().misses, {{"result", "miss"}});
  registry.Counters("rundlet_cache_dropped_cellars", "Cellars that made room for others.");
  registry.Add(cache.instruments().dropped);
  registry.Gauges("rundlet_cache_cellars", "Cellars in the cache.");
  registry.Add([&cache] { return static_cast<double>(cache.cellars()); });
  registry.Gauges("rundlet_cache_bytes", "What those take in memory.");
  registry.Add([&cache] { return static_cast<double>(cache.bytes()); });
}

void AddPool(const ConnectionPool& pool, Registry& registry) {
  registry.Gauges("rundlet_database_connections", "Connections of the pool, by what they do.");
  registry.Add([&pool] { return static_cast<double>(pool.use().lent); }, {{"state", "lent"}});
  registry.Add([&pool] { return static_cast<double>(pool.use().idle); }, {{"state", "idle"}});
  registry.Gauges("rundlet_database_connections_max", "Connections that the pool may have.");
  registry.Add([&pool] { return static_cast<double>(pool.max_connections()); });
}

}  // namespace

void AddParts(const MeteredParts& parts, Registry& registry) {
  AddWriting(parts.writer, parts.pushes, registry);
  registry.Gauges("rundlet_queued_calls", "Calls that wait for a thread.");
  registry.Add([&readers = parts.readers] { return static_cast<double>(readers.waiting()); });
  AddCache(parts.cache, registry);
  AddPool(parts.pool, registry);
}

void AddAuditAge(const std::string& data_dir, std::function<absl::Time()> now, Registry& registry) {
  registry.Gauges("rundlet_audit_age_seconds",
                  "Since all cellars were last audited; +Inf where they never were.");
  registry.Add([data_dir, now = std::move(now)] {
    const absl::StatusOr<AuditRecord> record = ReadAuditRecord(data_dir);
    return record.ok() ? absl::ToDoubleSeconds(now() - record->at)
                       : std::numeric_limits<double>::infinity();
  });
  registry.Gauges("rundlet_audit_problems", "Things that the last audit found wrong.");
  registry.Add([data_dir] {
    const absl::StatusOr<AuditRecord> record = ReadAuditRecord(data_dir);
    return record.ok() ? static_cast<double>(record->problems) : 0;
  });
}

}  // namespace rundlet::server
