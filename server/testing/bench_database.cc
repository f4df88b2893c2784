#include "server/testing/bench_database.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/log/log.h"
#include "server/pg/migrate.h"
#include "server/random.h"

namespace rundlet::server {

absl::StatusOr<std::unique_ptr<BenchDatabase>> BenchDatabase::Start() {
  ConfigureLog({.min_level = Level::kWarning});
  std::unique_ptr<BenchDatabase> bench(new BenchDatabase);
  auto cluster = EmbeddedCluster::Start({.data_dir = absl::StrCat(bench->dir_.path(), "/data")});
  if (!cluster.ok()) return cluster.status();
  bench->cluster_ = *std::move(cluster);
  bench->connection_string_ = bench->cluster_->connection_string();
  const auto migrated =
      Migrate({.connection_string = bench->connection_string_, .now = absl::Now()});
  if (!migrated.ok()) return migrated.status();
  bench->admin_ = std::make_unique<Admin>(Admin::Options{
      .connection_string = bench->connection_string_, .now = absl::Now, .random = FillRandom});
  return bench;
}

}  // namespace rundlet::server
