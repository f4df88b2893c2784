// Goal: a borrower gets a sound, prepared connection of the right role or a status, within its
// deadline, whatever happened to the database. Method: a real database whose backends and
// postmaster are killed; more borrowers than connections.
#include "server/pg/connection_pool.h"

#include <atomic>
#include <csignal>
#include <optional>
#include <pqxx/pqxx>
#include <thread>
#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/pq_status.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/test_database.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

absl::Time Soon() { return absl::Now() + absl::Seconds(20); }

absl::StatusOr<std::string> Ask(pqxx::connection& connection, const std::string& sql) {
  return Guard("ask", [&] {
    pqxx::work work(connection);
    return work.exec1(sql)[0].as<std::string>();
  });
}

class ConnectionPoolTest : public DatabaseTest {
 protected:
  ConnectionPool::Options Options(int size) const {
    return {.connection_string = db().connection_string(), .max_connections = size};
  }
  void Terminate(int backend) {
    pqxx::connection connection(db().connection_string());
    pqxx::nontransaction(connection)
        .exec(absl::StrCat("select pg_terminate_backend(", backend, ", 10000)"));
  }
};

TEST_F(ConnectionPoolTest, ConnectionsActAsTheServersRole) {
  ConnectionPool::Options options = Options(1);
  options.statement_timeout = absl::Milliseconds(1234);
  options.application_name = "rundletd test";
  int prepared = 0;
  options.prepare = [&prepared](pqxx::connection& connection) {
    ++prepared;
    connection.prepare("answer", "select 40 + $1::int");
  };
  ConnectionPool pool(options);
  for (int round = 0; round < 2; ++round) {
    const auto lease = pool.Borrow(Soon());
    ASSERT_TRUE(lease.ok()) << lease.status();
    EXPECT_EQ(*Ask(**lease, "select current_user"), "rundlet_server");
    EXPECT_EQ(*Ask(**lease, "show statement_timeout"), "1234ms");
    EXPECT_EQ(*Ask(**lease, "show application_name"), "rundletd test");
    pqxx::work work(**lease);
    EXPECT_EQ(work.exec_prepared1("answer", 2)[0].as<int>(), 42);
  }
  EXPECT_EQ(prepared, 1);
}

TEST_F(ConnectionPoolTest, BorrowersWaitUntilTheirDeadline) {
  ConnectionPool pool(Options(2));
  std::optional<ConnectionPool::Lease> first = *pool.Borrow(Soon());
  const auto second = pool.Borrow(Soon());
  ASSERT_TRUE(second.ok());
  const absl::Status refused = pool.Borrow(absl::Now() + absl::Milliseconds(30)).status();
  EXPECT_EQ(refused.code(), absl::StatusCode::kDeadlineExceeded);
  EXPECT_THAT(std::string(refused.message()), HasSubstr("all 2 database connections"));

  const int backend = (*first)->backendpid();
  std::thread returning([&first] { first.reset(); });
  const auto third = pool.Borrow(Soon());
  returning.join();
  ASSERT_TRUE(third.ok()) << third.status();
  EXPECT_EQ((*third)->backendpid(), backend);
}

TEST_F(ConnectionPoolTest, AConnectionThatEndedWhileIdleIsNeverLent) {
  ConnectionPool pool(Options(1));
  int backend = 0;
  {
    const auto lease = pool.Borrow(Soon());
    ASSERT_TRUE(lease.ok()) << lease.status();
    backend = (*lease)->backendpid();
  }
  Terminate(backend);
  const auto lease = pool.Borrow(Soon());
  ASSERT_TRUE(lease.ok()) << lease.status();
  EXPECT_NE((*lease)->backendpid(), backend);
  EXPECT_EQ(*Ask(**lease, "select current_user"), "rundlet_server");
}

TEST_F(ConnectionPoolTest, AConnectionThatBreaksInUseStaysBroken) {
  ConnectionPool pool(Options(1));
  {
    const auto lease = pool.Borrow(Soon());
    ASSERT_TRUE(lease.ok()) << lease.status();
    Terminate((*lease)->backendpid());
    for (int attempt = 0; attempt < 3; ++attempt) {
      EXPECT_EQ(Ask(**lease, "select current_user").status().code(),
                absl::StatusCode::kUnavailable);
    }
  }
  const auto lease = pool.Borrow(Soon());
  ASSERT_TRUE(lease.ok()) << lease.status();
  EXPECT_EQ(*Ask(**lease, "select current_user"), "rundlet_server");
}

TEST_F(ConnectionPoolTest, ADiscardedConnectionIsReplaced) {
  ConnectionPool pool(Options(1));
  auto lease = pool.Borrow(Soon());
  ASSERT_TRUE(lease.ok()) << lease.status();
  const int backend = (*lease)->backendpid();
  lease->Discard();
  const auto next = pool.Borrow(Soon());
  ASSERT_TRUE(next.ok()) << next.status();
  EXPECT_NE((*next)->backendpid(), backend);
}

TEST_F(ConnectionPoolTest, AFailureToConnectGivesThePlaceBack) {
  ConnectionPool unreachable(
      {.connection_string = "host=/nonexistent user=rundlet", .max_connections = 1});
  EXPECT_EQ(unreachable.Borrow(Soon()).status().code(), absl::StatusCode::kUnavailable);
  EXPECT_EQ(unreachable.Borrow(Soon()).status().code(), absl::StatusCode::kUnavailable);

  ConnectionPool::Options options = Options(1);
  options.prepare = [](pqxx::connection& connection) {
    pqxx::nontransaction(connection).exec("select * from no_such_table");
  };
  ConnectionPool unprepared(options);
  EXPECT_EQ(unprepared.Borrow(Soon()).status().code(), absl::StatusCode::kInternal);
  EXPECT_EQ(unprepared.Borrow(Soon()).status().code(), absl::StatusCode::kInternal);
}

TEST_F(ConnectionPoolTest, RecoversFromTheDeathOfThePostmaster) {
  ConnectionPool pool(Options(3));
  { ASSERT_TRUE(pool.Borrow(Soon()).ok()); }
  EmbeddedCluster* const cluster = *TestDatabase::Cluster();
  const pid_t killed = cluster->postmaster_pid();
  ::kill(killed, SIGKILL);
  EXPECT_TRUE(Await([&] { return cluster->postmaster_pid() != killed; }));
  EXPECT_TRUE(Await([&] {
    const auto lease = pool.Borrow(Soon());
    return lease.ok() && Ask(**lease, "select current_user").value_or("") == "rundlet_server";
  }));
}

TEST_F(ConnectionPoolTest, ManyBorrowersShareFewConnections) {
  ConnectionPool::Options options = Options(3);
  std::atomic<int> made = 0;
  options.prepare = [&made](pqxx::connection&) { ++made; };
  ConnectionPool pool(options);
  std::atomic<int> in_use = 0;
  std::atomic<int> most_in_use = 0;
  std::atomic<int> failures = 0;
  std::vector<std::thread> threads;
  for (int t = 0; t < 8; ++t) {
    threads.emplace_back([&] {
      for (int i = 0; i < 40; ++i) {
        const auto lease = pool.Borrow(Soon());
        if (!lease.ok()) {
          ++failures;
          continue;
        }
        const int now_in_use = ++in_use;
        int most = most_in_use;
        while (most < now_in_use && !most_in_use.compare_exchange_weak(most, now_in_use)) {
        }
        if (!Ask(**lease, "select 'x'").ok()) ++failures;
        --in_use;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(failures, 0);
  EXPECT_LE(most_in_use, 3);
  EXPECT_LE(made, 3);
}

}  // namespace
}  // namespace rundlet::server
