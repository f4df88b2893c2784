#ifndef RUNDLET_SERVER_PG_TESTING_TEST_DATABASE_H_
#define RUNDLET_SERVER_PG_TESTING_TEST_DATABASE_H_

#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "gtest/gtest.h"
#include "server/pg/embedded_cluster.h"

namespace rundlet::server {

// A database of its own for one test, in a private cluster that the test process starts when it
// first needs one (in a temporary directory, without writing through to disk) and that ends with
// it.
//
// The cluster costs about a second for each process, a database a few hundredths: register such
// tests with ONE_PROCESS (cmake/RundletTest.cmake). Works as root and as any other user. Not
// thread-safe.
class TestDatabase {
 public:
  // With all migrations applied: a copy of a database that was migrated once.
  static absl::StatusOr<std::unique_ptr<TestDatabase>> Create();
  // With nothing in it.
  static absl::StatusOr<std::unique_ptr<TestDatabase>> CreateEmpty();
  // Drops the database, and ends what is still connected to it.
  ~TestDatabase();
  TestDatabase(const TestDatabase&) = delete;
  TestDatabase& operator=(const TestDatabase&) = delete;

  // Of the superuser and owner, as rundletd has it.
  const std::string& connection_string() const { return connection_string_; }
  const std::string& name() const { return name_; }

  // The process's cluster, for a test that wants to do something to it.
  static absl::StatusOr<EmbeddedCluster*> Cluster();

 private:
  explicit TestDatabase(std::string name);
  static absl::StatusOr<std::unique_ptr<TestDatabase>> CopyOf(absl::string_view original);

  const std::string name_;
  std::string connection_string_;
};

// A fixture with a migrated database in db().
class DatabaseTest : public testing::Test {
 protected:
  void SetUp() override;
  const TestDatabase& db() const { return *db_; }
  // How many of its sessions wait for a lock.
  int WaitingForLocks() const;

 private:
  std::unique_ptr<TestDatabase> db_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_TESTING_TEST_DATABASE_H_
