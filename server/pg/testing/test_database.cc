#include "server/pg/testing/test_database.h"

#include <cstdlib>
#include <pqxx/pqxx>
#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/log/log.h"
#include "server/pg/migrate.h"
#include "server/pg/pq_status.h"
#include "server/pg/testing/temp_dir.h"

// libpqxx 6 loses a result of libpq when a connection breaks under a statement; the tests break
// many.
extern "C" const char*
__lsan_default_suppressions();  // read by the leak sanitizer where there is one
extern "C" const char* __lsan_default_suppressions() { return "leak:PQmakeEmptyPGresult\n"; }

namespace rundlet::server {
namespace {

constexpr char kMigrated[] = "migrated";

struct TestCluster {
  TempDir dir;
  std::unique_ptr<EmbeddedCluster> cluster;
  bool has_migrated = false;
};

TestCluster* the_cluster = nullptr;

void EndCluster() {
  delete the_cluster;
  the_cluster = nullptr;
}

absl::Status RunInCluster(const EmbeddedCluster& cluster, const std::string& sql) {
  return Guard(sql, [&] {
    pqxx::connection connection(cluster.ConnectionStringFor("postgres"));
    pqxx::nontransaction(connection).exec(sql);
  });
}

absl::StatusOr<TestCluster*> StartedCluster() {
  if (the_cluster != nullptr) return the_cluster;
  ConfigureLog({.min_level = Level::kWarning});
  auto started = std::make_unique<TestCluster>();
  absl::StatusOr<std::unique_ptr<EmbeddedCluster>> cluster = EmbeddedCluster::Start(
      {.data_dir = absl::StrCat(started->dir.path(), "/data"), .unsafe_without_fsync = true});
  if (!cluster.ok()) return cluster.status();
  started->cluster = *std::move(cluster);
  the_cluster = started.release();
  std::atexit(EndCluster);
  return the_cluster;
}

absl::Status EnsureMigrated(TestCluster& test) {
  if (test.has_migrated) return absl::OkStatus();
  const absl::Status made =
      RunInCluster(*test.cluster, absl::StrCat("create database ", kMigrated));
  if (!made.ok()) return made;
  const auto applied = Migrate(
      {.connection_string = test.cluster->ConnectionStringFor(kMigrated), .now = absl::Now()});
  if (!applied.ok()) return applied.status();
  test.has_migrated = true;
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<EmbeddedCluster*> TestDatabase::Cluster() {
  const absl::StatusOr<TestCluster*> test = StartedCluster();
  if (!test.ok()) return test.status();
  return (*test)->cluster.get();
}

absl::StatusOr<std::unique_ptr<TestDatabase>> TestDatabase::Create() {
  const absl::StatusOr<TestCluster*> test = StartedCluster();
  if (!test.ok()) return test.status();
  const absl::Status migrated = EnsureMigrated(**test);
  if (!migrated.ok()) return migrated;
  return CopyOf(kMigrated);
}

absl::StatusOr<std::unique_ptr<TestDatabase>> TestDatabase::CreateEmpty() {
  const absl::StatusOr<TestCluster*> test = StartedCluster();
  if (!test.ok()) return test.status();
  return CopyOf("template0");
}

absl::StatusOr<std::unique_ptr<TestDatabase>> TestDatabase::CopyOf(absl::string_view original) {
  static int count = 0;
  const std::string name = absl::StrCat("test_", ++count);
  const absl::Status made = RunInCluster(
      *the_cluster->cluster, absl::StrCat("create database ", name, " template ", original));
  if (!made.ok()) return made;
  return std::unique_ptr<TestDatabase>(new TestDatabase(name));
}

TestDatabase::TestDatabase(std::string name)
    : name_(std::move(name)),
      connection_string_(the_cluster->cluster->ConnectionStringFor(name_)) {}

TestDatabase::~TestDatabase() {
  if (the_cluster == nullptr) return;
  const absl::Status dropped =
      RunInCluster(*the_cluster->cluster, absl::StrCat("drop database ", name_, " with (force)"));
  if (!dropped.ok()) Log(Level::kWarning, "test_database_kept", {{"error", dropped}});
}

void DatabaseTest::SetUp() {
  absl::StatusOr<std::unique_ptr<TestDatabase>> made = TestDatabase::Create();
  ASSERT_TRUE(made.ok()) << made.status();
  db_ = *std::move(made);
}

int DatabaseTest::WaitingForLocks() const {
  pqxx::connection connection(db_->connection_string());
  return pqxx::nontransaction(connection)
      .exec1(
          "select count(*) from pg_stat_activity where datname = current_database()"
          " and wait_event_type = 'Lock'")[0]
      .as<int>();
}

}  // namespace rundlet::server
