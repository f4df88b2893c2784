// Goal: the schema reaches the same state once and only once, however many servers start, wherever
// one is killed, and never over a schema that is not ours. Method: the built-in migrations, ended
// after each of their statements by an event trigger; made-up migrations; threads.
#include "server/pg/migrate.h"

#include <pqxx/pqxx>
#include <string>
#include <thread>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/pq_status.h"
#include "server/pg/testing/test_database.h"

namespace rundlet::server {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr Migration kFirst = {1, "lots", "create table rundlet.lot (id uuid primary key);"};
constexpr Migration kSecond = {2, "names", "alter table rundlet.lot add name text;"};

class MigrateTest : public testing::Test {
 protected:
  void SetUp() override {
    auto made = TestDatabase::CreateEmpty();
    ASSERT_TRUE(made.ok()) << made.status();
    db_ = *std::move(made);
  }

  absl::StatusOr<std::vector<int>> Apply(absl::Span<const Migration> migrations) {
    return Migrate({.connection_string = db_->connection_string(),
                    .migrations = migrations,
                    .now = absl::FromUnixSeconds(1764063000)});
  }
  absl::StatusOr<std::vector<int>> ApplyBuiltIn() { return Apply(BuiltInMigrations()); }

  // The first column of what the statement returns.
  std::vector<std::string> Query(const std::string& sql) {
    pqxx::connection connection(db_->connection_string());
    pqxx::work work(connection);
    std::vector<std::string> values;
    for (const pqxx::row& row : work.exec(sql)) values.push_back(row[0].c_str());
    work.commit();
    return values;
  }
  std::vector<std::string> Tables() {
    return Query(
        "select table_name from information_schema.tables where table_schema = 'rundlet' "
        "order by 1");
  }

  std::unique_ptr<TestDatabase> db_;
};

TEST_F(MigrateTest, AppliesEachOnceAndRecordsIt) {
  EXPECT_THAT(*Apply({kFirst}), ElementsAre(1));
  EXPECT_THAT(*Apply({kFirst, kSecond}), ElementsAre(2));
  EXPECT_THAT(*Apply({kFirst, kSecond}), IsEmpty());
  EXPECT_THAT(Tables(), ElementsAre("lot", "schema_migration"));
  // sha256sum of the text of kFirst.
  EXPECT_THAT(
      Query("select number || ' ' || name || ' ' || encode(sha256, 'hex') || ' ' || "
            "extract(epoch from applied_at)::bigint from rundlet.schema_migration "
            "where number = 1"),
      ElementsAre(
          "1 lots 588a3fe058d3fd19463c3bb2e5631c0e81910edca61c2628b68bb8f477028acb 1764063000"));
}

TEST_F(MigrateTest, BuiltInMigrationsAreNumberedAndApply) {
  const auto applied = ApplyBuiltIn();
  ASSERT_TRUE(applied.ok()) << applied.status();
  EXPECT_THAT(*applied, SizeIs(BuiltInMigrations().size()));
  EXPECT_THAT(*ApplyBuiltIn(), IsEmpty());
}

TEST_F(MigrateTest, ServersThatStartTogetherDoNotClash) {
  std::vector<absl::StatusOr<std::vector<int>>> results(
      4, absl::UnknownError("the thread did not run"));
  std::vector<std::thread> threads;
  for (auto& result : results) threads.emplace_back([&] { result = ApplyBuiltIn(); });
  for (std::thread& thread : threads) thread.join();
  size_t applied = 0;
  for (const auto& result : results) {
    ASSERT_TRUE(result.ok()) << result.status();
    applied += result->size();
  }
  EXPECT_EQ(applied, BuiltInMigrations().size());
}

TEST_F(MigrateTest, AChangedMigrationIsRefused) {
  ASSERT_TRUE(Apply({kFirst}).ok());
  const Migration changed = {1, "lots", "create table rundlet.lot (id uuid);"};
  const absl::Status status = Apply({changed, kSecond}).status();
  EXPECT_EQ(status.code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(status.message()), HasSubstr("migration 0001_lots is not the one"));
  const Migration renamed = {1, "batches", kFirst.sql};
  EXPECT_EQ(Apply({renamed}).status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(Query("select number from rundlet.schema_migration"), ElementsAre("1"));
}

TEST_F(MigrateTest, ANewerDatabaseIsRefused) {
  ASSERT_TRUE(Apply({kFirst, kSecond}).ok());
  const absl::Status status = Apply({kFirst}).status();
  EXPECT_EQ(status.code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(status.message()), HasSubstr("the database is newer than this program"));
  EXPECT_THAT(std::string(status.message()), HasSubstr("0002_names"));
}

TEST_F(MigrateTest, WronglyNumberedMigrationsAreRefused) {
  EXPECT_EQ(Apply({kSecond}).status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(Apply({kFirst, kFirst}).status().code(), absl::StatusCode::kInvalidArgument);
}

TEST_F(MigrateTest, AFailedMigrationIsUndoneAndNamed) {
  const Migration broken = {2, "broken", "create table rundlet.bin (id int); select 1 / 0;"};
  const absl::Status status = Apply({kFirst, broken}).status();
  EXPECT_EQ(status.code(), absl::StatusCode::kInternal);
  EXPECT_THAT(std::string(status.message()), HasSubstr("0002_broken"));
  EXPECT_THAT(Tables(), ElementsAre("lot", "schema_migration"));
  EXPECT_THAT(*Apply({kFirst, kSecond}), ElementsAre(2));
}

TEST_F(MigrateTest, AMigrationMayNotEndItsTransaction) {
  const Migration leaky = {1, "leaky", "create table rundlet.bin (id int); commit; begin;"};
  const absl::Status status = Apply({leaky}).status();
  EXPECT_FALSE(status.ok());
  EXPECT_THAT(std::string(status.message()), HasSubstr("must not begin or end a transaction"));
}

TEST_F(MigrateTest, GivesUpWhenTheLockIsNotToBeHad) {
  ASSERT_TRUE(Apply({kFirst}).ok());
  pqxx::connection connection(db_->connection_string());
  pqxx::work work(connection);
  work.exec("lock table rundlet.schema_migration in share row exclusive mode");
  const auto result = Migrate({.connection_string = db_->connection_string(),
                               .migrations = {kFirst, kSecond},
                               .now = absl::UnixEpoch(),
                               .lock_timeout = absl::Milliseconds(30)});
  EXPECT_EQ(result.status().code(), absl::StatusCode::kAborted);
}

// Ends the session after the n-th command that changes the schema, for n = 1, 2, ... until a run
// gets through; then the schema must be the one of an undisturbed run.
TEST_F(MigrateTest, KilledAtEachStatementItCompletesLater) {
  constexpr char kDescribe[] =
      "select table_name || '.' || column_name || ' ' || data_type || ' ' || is_nullable "
      "from information_schema.columns where table_schema = 'rundlet' "
      "union all select conname || ' ' || pg_get_constraintdef(oid) from pg_constraint "
      "where connamespace = 'rundlet'::regnamespace "
      "union all select relname || ' ' || relrowsecurity || relforcerowsecurity || "
      "coalesce(relacl::text, '') from pg_class where relnamespace = 'rundlet'::regnamespace "
      "union all select polname || polrelid::regclass || pg_get_expr(polqual, polrelid) "
      "from pg_policy order by 1";
  ASSERT_TRUE(ApplyBuiltIn().ok());
  const std::vector<std::string> undisturbed = Query(kDescribe);
  ASSERT_FALSE(undisturbed.empty());

  Query("drop schema rundlet cascade");
  Query(
      "create function public.end_session() returns event_trigger language plpgsql as $$ begin "
      "perform set_config('test.done', (coalesce(nullif(current_setting('test.done', true), ''), "
      "'0')::int + 1)::text, false); "
      "if current_setting('test.done') = current_setting('test.last') then "
      "perform pg_terminate_backend(pg_backend_pid()); end if; end $$");
  Query(
      "create event trigger end_session on ddl_command_end "
      "execute function public.end_session()");
  int kills = 0;
  for (int last = 1;; ++last) {
    Query(absl::StrCat("alter database ", db_->name(), " set test.last = '", last, "'"));
    const auto result = ApplyBuiltIn();
    if (result.ok()) break;
    ASSERT_EQ(result.status().code(), absl::StatusCode::kUnavailable) << result.status();
    ++kills;
  }
  EXPECT_GT(kills, 20);
  EXPECT_EQ(Query(kDescribe), undisturbed);
}

// As on a database server that somebody else runs: the owner is no superuser.
TEST_F(MigrateTest, AnOwnerWithoutSuperuserRightsIsEnough) {
  Query("create role plain_owner login createrole");
  Query(absl::StrCat("grant create on database ", db_->name(), " to plain_owner"));
  const std::string as_owner = absl::StrCat(db_->connection_string(), " user=plain_owner");
  const auto applied = Migrate({.connection_string = as_owner, .now = absl::UnixEpoch()});
  ASSERT_TRUE(applied.ok()) << applied.status();

  const absl::Status administered = Guard("administer", [&] {
    pqxx::connection connection(as_owner);
    pqxx::work work(connection);
    for (const std::string id :
         {"01900000-0000-7000-8000-000000000001", "01900000-0000-7000-8000-000000000002"}) {
      work.exec_params("select set_config('rundlet.cellar_id', $1, true)", id);
      work.exec_params0("insert into rundlet.cellar values ($1, 'Thistledown (invented)', now())",
                        id);
    }
    EXPECT_EQ(work.exec("select * from rundlet.cellar").size(), 2u);  // the owner lists them all
    work.exec("set local role rundlet_server");
    EXPECT_EQ(work.exec("select * from rundlet.cellar").size(), 1u);  // the server sees its own
  });
  EXPECT_TRUE(administered.ok()) << administered;
}

}  // namespace
}  // namespace rundlet::server
