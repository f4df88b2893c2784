// Goal: every failure of the database reaches the caller as the code that says what to do.
// Method: provoke the failures in a real database where that can be done (keys, rights, deadlock,
// timeout, lost connection), and raise the SQLSTATE where it cannot (disk full).
#include "server/pg/pq_status.h"

#include <pqxx/pqxx>
#include <stdexcept>
#include <string>
#include <thread>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/testing/test_database.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

class PqStatusTest : public DatabaseTest {
 protected:
  absl::Status Run(const std::string& sql) {
    return Guard("try it", [&] {
      pqxx::connection connection(db().connection_string());
      pqxx::work work(connection);
      work.exec(sql);
      work.commit();
    });
  }
  absl::StatusCode CodeOf(const std::string& sql) { return Run(sql).code(); }
  absl::StatusCode CodeOfRaised(const std::string& sql_state) {
    return CodeOf(absl::StrCat("do $$ begin raise exception 'raised' using errcode = '", sql_state,
                               "'; end $$"));
  }
};

TEST_F(PqStatusTest, PassesResultsThrough) {
  EXPECT_TRUE(Guard("do", [] {}).ok());
  EXPECT_EQ(*Guard("do", [] { return 7; }), 7);
  EXPECT_EQ(*Guard("do", []() -> absl::StatusOr<int> { return 7; }), 7);
  EXPECT_EQ(Guard("do", [] { return absl::NotFoundError("x"); }), absl::NotFoundError("x"));
  EXPECT_EQ(Guard("do", []() -> absl::StatusOr<int> { return absl::NotFoundError("x"); }).status(),
            absl::NotFoundError("x"));
}

TEST_F(PqStatusTest, SaysWhatCouldNotBeDoneAndWhy) {
  const absl::Status status = Run("select * from no_such_table");
  EXPECT_EQ(status.code(), absl::StatusCode::kInternal);
  EXPECT_THAT(std::string(status.message()), HasSubstr("cannot try it: ERROR:"));
  EXPECT_THAT(std::string(status.message()), HasSubstr("no_such_table"));
}

TEST_F(PqStatusTest, ProvokedInTheDatabase) {
  EXPECT_EQ(
      CodeOf("create table t (a int primary key check (a > 0)); insert into t values (1), (1)"),
      absl::StatusCode::kAlreadyExists);
  EXPECT_EQ(CodeOf("create table t (a int check (a > 0)); insert into t values (0)"),
            absl::StatusCode::kInternal);
  EXPECT_EQ(CodeOf("set local rundlet.cellar_id = '01900000-0000-7000-8000-000000000001'; "
                   "set local role rundlet_server; delete from rundlet.journal"),
            absl::StatusCode::kPermissionDenied);
  EXPECT_EQ(CodeOf("set local statement_timeout = 20; select pg_sleep(60)"),
            absl::StatusCode::kDeadlineExceeded);
  EXPECT_EQ(CodeOf("select pg_terminate_backend(pg_backend_pid())"),
            absl::StatusCode::kUnavailable);
  EXPECT_EQ(CodeOf("set transaction read only; create table t (a int)"),
            absl::StatusCode::kUnavailable);
}

TEST_F(PqStatusTest, RaisedByNumber) {
  EXPECT_EQ(CodeOfRaised("53100"), absl::StatusCode::kResourceExhausted);  // disk full
  EXPECT_EQ(CodeOfRaised("53200"), absl::StatusCode::kResourceExhausted);  // out of memory
  EXPECT_EQ(CodeOfRaised("53300"), absl::StatusCode::kResourceExhausted);  // connections
  EXPECT_EQ(CodeOfRaised("40001"), absl::StatusCode::kAborted);            // serialization
  EXPECT_EQ(CodeOfRaised("40P01"), absl::StatusCode::kAborted);            // deadlock
  EXPECT_EQ(CodeOfRaised("55P03"), absl::StatusCode::kAborted);            // lock timeout
  EXPECT_EQ(CodeOfRaised("40003"), absl::StatusCode::kUnavailable);        // completion unknown
  EXPECT_EQ(CodeOfRaised("08006"), absl::StatusCode::kUnavailable);        // connection failure
  EXPECT_EQ(CodeOfRaised("57P01"), absl::StatusCode::kUnavailable);        // shutdown
  EXPECT_EQ(CodeOfRaised("57P03"), absl::StatusCode::kUnavailable);        // still starting
  EXPECT_EQ(CodeOfRaised("42501"), absl::StatusCode::kPermissionDenied);
  EXPECT_EQ(CodeOfRaised("23505"), absl::StatusCode::kAlreadyExists);
  EXPECT_EQ(CodeOfRaised("XX001"), absl::StatusCode::kInternal);  // data corrupted
}

TEST_F(PqStatusTest, ARealDeadlockAbortsOne) {
  ASSERT_TRUE(Run("create table t (a int primary key); insert into t values (1), (2)").ok());
  pqxx::connection one(db().connection_string());
  pqxx::work first(one);
  first.exec("select * from t where a = 1 for update");
  pqxx::connection two(db().connection_string());
  pqxx::work second(two);
  second.exec("select * from t where a = 2 for update");

  absl::Status other;
  std::thread thread([&] {
    other = Guard("lock", [&] {
      second.exec("select * from t where a = 1 for update");
      second.abort();
    });
  });
  const absl::Status mine = Guard("lock", [&] {
    first.exec("select * from t where a = 2 for update");
    first.abort();
  });
  thread.join();
  EXPECT_NE(mine.ok(), other.ok()) << mine << "; " << other;
  EXPECT_EQ((mine.ok() ? other : mine).code(), absl::StatusCode::kAborted);
}

TEST_F(PqStatusTest, ACommitInDoubtSaysSo) {
  const absl::Status status = Guard("write", [&] {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    work.exec("create table t (a int)");
    pqxx::connection other(db().connection_string());
    pqxx::nontransaction(other).exec(
        absl::StrCat("select pg_terminate_backend(", connection.backendpid(), ", 10000)"));
    work.commit();
  });
  EXPECT_EQ(status.code(), absl::StatusCode::kUnavailable);
  EXPECT_THAT(std::string(status.message()), HasSubstr("not known whether the commit took place"));
}

TEST(GuardTest, NoDatabaseIsUnavailable) {
  const absl::Status status =
      Guard("connect", [] { pqxx::connection("host=/nonexistent user=rundlet"); });
  EXPECT_EQ(status.code(), absl::StatusCode::kUnavailable);
  EXPECT_THAT(std::string(status.message()), HasSubstr("/nonexistent"));
}

TEST(GuardTest, StopsEveryException) {
  EXPECT_EQ(Guard("do", [] { throw std::logic_error("x"); }).code(), absl::StatusCode::kInternal);
  EXPECT_EQ(Guard("do", [] { throw std::bad_alloc(); }).code(),
            absl::StatusCode::kResourceExhausted);
  EXPECT_EQ(Guard("do", [] { throw 1; }).code(), absl::StatusCode::kInternal);
}

}  // namespace
}  // namespace rundlet::server
