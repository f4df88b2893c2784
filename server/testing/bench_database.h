#ifndef RUNDLET_SERVER_TESTING_BENCH_DATABASE_H_
#define RUNDLET_SERVER_TESTING_BENCH_DATABASE_H_

#include <memory>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "server/admin.h"
#include "server/pg/embedded_cluster.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {

// What a benchmark of the server measures on: a private cluster that writes through to disk, as
// rundletd's does (TestDatabase does not), with a migrated database. Gone when this goes.
class BenchDatabase {
 public:
  // Quiets the log, too.
  static absl::StatusOr<std::unique_ptr<BenchDatabase>> Start();

  const std::string& connection_string() const { return connection_string_; }
  Admin& admin() { return *admin_; }
  absl::Status Stop() { return cluster_->Stop(); }

 private:
  BenchDatabase() = default;

  TempDir dir_;
  std::unique_ptr<EmbeddedCluster> cluster_;
  std::string connection_string_;
  std::unique_ptr<Admin> admin_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_BENCH_DATABASE_H_
