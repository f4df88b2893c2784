// Goal: every table keeps the law that lets the database be distributed by cellar and keeps cellars
// apart (list in schema/0001_journal.sql). Method: read the catalogue of a migrated database; break
// each article in a transaction that is rolled back, to see that the reader notices; and try, as
// the server's role, what it must not be able to do.
#include "server/pg/testing/schema_law.h"

#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/pq_status.h"
#include "server/pg/testing/test_database.h"

namespace rundlet::server {
namespace {

using ::testing::Contains;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr char kThistledown[] = "01900000-0000-7000-8000-000000000001";
constexpr char kOther[] = "01900000-0000-7000-8000-000000000002";

class SchemaLawTest : public DatabaseTest {
 protected:
  std::vector<std::string> BreachesAfter(const std::string& sql) {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    work.exec(sql);
    return FindSchemaBreaches(work);  // and roll back
  }

  // Two cellars with one entry each (invented), written by the owner.
  void AddTwoCellars() {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    for (const std::string cellar : {kThistledown, kOther}) {
      work.exec_params0(
          "insert into rundlet.cellar values ($1, 'Thistledown Wine Circle (invented)', $2)",
          cellar, kTime);
      work.exec_params0("insert into rundlet.journal_head values ($1, 1, $2)", cellar, kTime);
      work.exec_params0(
          "insert into rundlet.device values ($1, $1, $1, 'Ada', 'phone', 'master', "
          "decode(repeat('ab', 32), 'hex'), $2)",
          cellar, kTime);
      work.exec_params0(kInsertEntry, cellar, 1, kTime);
    }
    work.commit();
  }

  // Runs one statement as the server does it for the cellar kThistledown.
  absl::StatusOr<pqxx::result> AsServer(const std::string& sql) {
    return Guard("work as the server", [&] {
      pqxx::connection connection(db().connection_string());
      pqxx::work work(connection);
      work.exec("set local role rundlet_server");
      work.exec_params("select set_config('rundlet.cellar_id', $1, true)", kThistledown);
      return work.exec(sql);
    });
  }

  static constexpr char kTime[] = "2025-11-25T09:30:00Z";
  static constexpr char kInsertEntry[] =
      "insert into rundlet.journal values ($1, $2, $1, $1, $2, 0, 'rack', "
      "decode(repeat('cd', 32), 'hex'), '\\x00', $3)";
};

TEST_F(SchemaLawTest, EveryTableKeepsTheLaw) { EXPECT_THAT(BreachesAfter("select 1"), IsEmpty()); }

TEST_F(SchemaLawTest, TheReaderNoticesEveryBreach) {
  const std::string good_policy =
      " using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid))";
  const std::string make =
      "create table rundlet.bad (cellar_id uuid not null, id uuid not null, n bigint, "
      "primary key (cellar_id, id)); alter table rundlet.bad enable row level security; "
      "alter table rundlet.bad force row level security; create policy p on rundlet.bad" +
      good_policy + "; ";
  ASSERT_THAT(BreachesAfter(make), IsEmpty());
  const struct {
    std::string sql;
    std::string breach;
  } cases[] = {
      {"create table rundlet.worse (id uuid primary key)",
       "worse has no column cellar_id of type uuid, not null"},
      {"create table rundlet.worse (cellar_id uuid not null)", "worse has no primary key"},
      {"create table rundlet.worse (id uuid, cellar_id uuid, primary key (id, cellar_id))",
       "rundlet.worse_pkey is a unique key that cellar_id does not lead"},
      {make + "alter table rundlet.bad add unique (id)",
       "rundlet.bad_id_key is a unique key that cellar_id does not lead"},
      {make + "create unique index by_n on rundlet.bad ((n + 1))",
       "rundlet.by_n is a unique key that cellar_id does not lead"},
      {make +
           "alter table rundlet.bad add constraint fk foreign key (id) references rundlet.cellar",
       "rundlet.bad.fk is a foreign key that cellar_id does not lead on both sides"},
      {"create sequence rundlet.counter", "counter is a sequence"},
      {make + "alter table rundlet.bad add serial bigint generated always as identity",
       "bad.serial is an identity column"},
      {make + "alter table rundlet.bad add constraint late unique (cellar_id, n) deferrable",
       "bad.late is a deferrable constraint"},
      {make + "alter table rundlet.bad add constraint apart exclude using btree (n with =)",
       "bad.apart is an exclusion constraint"},
      {make + "alter table rundlet.bad add at timestamptz default now()",
       "bad.at has a default that is not a constant"},
      {make + "alter table rundlet.bad add at timestamptz default current_timestamp",
       "bad.at has a default that is not a constant"},
      {make + "alter table rundlet.bad alter id set default gen_random_uuid()",
       "bad.id has a default that is not a constant"},
      {make + "alter table rundlet.bad disable row level security",
       "bad lacks row-level security, or it is not forced on the owner"},
      {make + "alter table rundlet.bad no force row level security",
       "bad lacks row-level security, or it is not forced on the owner"},
      {make + "drop policy p on rundlet.bad", "bad has no policy for rundlet_server"},
      {make + "create policy wide on rundlet.bad to rundlet_server using (true)",
       "bad.wide is a policy that shows rundlet_server more than the transaction's cellar"},
      {make + "create policy wide on rundlet.bad for insert with check (true)",
       "bad.wide is a policy that shows rundlet_server more than the transaction's cellar"},
      {"create view rundlet.peek as select * from rundlet.journal",
       "peek is a view without security_invoker, or a materialized view"},
      {"create function rundlet.sneak() returns int language sql security definer as 'select 1'",
       "rundlet.sneak() is a security definer function"},
      {make + "alter table rundlet.bad owner to rundlet_server",
       "table rundlet.bad is owned by rundlet_server"},
      {"alter role rundlet_server bypassrls",
       "rundlet_server is a role that can log in, bypass row-level security, or make roles or "
       "databases"},
      {"grant pg_read_all_data to rundlet_server",
       "pg_read_all_data is a role that rundlet_server is a member of"},
      {"grant create on schema rundlet to rundlet_server",
       "rundlet lets rundlet_server make objects in it"},
      {"grant truncate on rundlet.journal to rundlet_server",
       "journal lets rundlet_server truncate it, refer to it or put triggers on it"},
      {"grant delete on rundlet.journal to rundlet_server",
       "journal lets rundlet_server update or delete its rows"},
      {"grant delete on rundlet.seal to rundlet_server",
       "seal lets rundlet_server update or delete its rows"},
      {"grant update (hashes) on rundlet.tree_tile to rundlet_server",
       "tree_tile lets rundlet_server update or delete its rows"},
      {"grant update (bytes) on rundlet.journal to rundlet_server",
       "journal lets rundlet_server update or delete its rows"},
  };
  for (const auto& c : cases) {
    EXPECT_THAT(BreachesAfter(c.sql), Contains(c.breach)) << c.sql;
  }
}

TEST_F(SchemaLawTest, ConstantDefaultsAndInvokersViewsAreLawful) {
  EXPECT_THAT(BreachesAfter("alter table rundlet.journal add n bigint default 0, "
                            "add s text default 'none', add t timestamptz default '-infinity'; "
                            "create view rundlet.entry with (security_invoker = true) as "
                            "select cellar_id, seq from rundlet.journal"),
              IsEmpty());
}

TEST_F(SchemaLawTest, TheServerCannotChangeOrRemoveEntries) {
  AddTwoCellars();
  ASSERT_THAT(*AsServer("select * from rundlet.journal"), SizeIs(1));
  for (const char* sql : {"update rundlet.journal set seq = 9",
                          "update rundlet.journal set bytes = '\\x01'",
                          "delete from rundlet.journal",
                          "truncate rundlet.journal",
                          "alter table rundlet.journal disable row level security",
                          "drop table rundlet.journal",
                          "update rundlet.seal set bytes = '\\x01'",
                          "delete from rundlet.seal",
                          "truncate rundlet.seal",
                          "update rundlet.tree_tile set root = hashes",
                          "delete from rundlet.tree_tile",
                          "truncate rundlet.tree_tile",
                          "delete from rundlet.journal_head",
                          "delete from rundlet.device",
                          "update rundlet.device set member_id = device_id",
                          "update rundlet.device set created_at = now()",
                          "update rundlet.device set device_name = 'another'",
                          "delete from rundlet.invitation",
                          "update rundlet.invitation set role = 'master'",
                          "update rundlet.invitation set expires_at = now()",
                          "insert into rundlet.cellar values (gen_random_uuid(), 'x', now())",
                          "select * from rundlet.schema_migration"}) {
    EXPECT_EQ(AsServer(sql).status().code(), absl::StatusCode::kPermissionDenied) << sql;
  }
}

// Who was put out stays out, and what was used stays used; not even the owner changes that.
TEST_F(SchemaLawTest, WhatIsSaidOnceStays) {
  AddTwoCellars();
  const std::string invite =
      "insert into rundlet.invitation values (current_setting('rundlet.cellar_id')::uuid, "
      "decode(repeat('ef', 32), 'hex'), gen_random_uuid(), 'Wren', 'hand', null, "
      "'2025-11-25T09:30:00Z', '2025-11-26T09:30:00Z'); ";
  const std::string revoke = "update rundlet.device set revoked_at = '2025-12-01T10:00:00Z'; ";
  const std::string use =
      "update rundlet.invitation set used_at = '2025-11-25T10:00:00Z', used_by = "
      "'01900000-0000-7000-8000-000000000009'; ";
  const std::string take_back =
      "update rundlet.invitation set revoked_at = '2025-11-25T10:00:00Z'; ";
  for (const std::string& good :
       {revoke + revoke + "update rundlet.device set role = 'guest'", invite + use + take_back}) {
    EXPECT_EQ(AsServer(good).status(), absl::OkStatus()) << good;
  }
  for (const std::string& bad :
       {revoke + "update rundlet.device set revoked_at = null",
        revoke + "update rundlet.device set revoked_at = '2025-12-02T10:00:00Z'",
        invite + use + "update rundlet.invitation set used_at = null, used_by = null",
        invite + use + "update rundlet.invitation set used_by = gen_random_uuid()",
        invite + use + "update rundlet.invitation set used_at = '2025-11-25T11:00:00Z'",
        invite + take_back + "update rundlet.invitation set revoked_at = null"}) {
    EXPECT_EQ(AsServer(bad).status().code(), absl::StatusCode::kPermissionDenied) << bad;
    EXPECT_EQ(AsServer("reset role; " + bad).status().code(), absl::StatusCode::kPermissionDenied)
        << bad;
  }
}

TEST_F(SchemaLawTest, TheServerSeesAndWritesOneCellarOnly) {
  AddTwoCellars();
  for (const char* table : {"cellar", "device", "journal", "journal_head"}) {
    const auto seen = AsServer(absl::StrCat("select cellar_id from rundlet.", table));
    ASSERT_TRUE(seen.ok()) << seen.status();
    ASSERT_THAT(*seen, SizeIs(1)) << table;
    EXPECT_STREQ((*seen)[0][0].c_str(), kThistledown) << table;
  }
  const auto moved = AsServer("update rundlet.journal_head set size = 7 returning cellar_id");
  ASSERT_TRUE(moved.ok()) << moved.status();
  EXPECT_THAT(*moved, SizeIs(1));
  const std::string foreign = absl::StrCat("insert into rundlet.journal_head values ('",
                                           "01900000-0000-7000-8000-000000000003', 0, now())");
  EXPECT_EQ(AsServer(foreign).status().code(), absl::StatusCode::kPermissionDenied);
}

TEST_F(SchemaLawTest, WithoutACellarNothingIsSeen) {
  AddTwoCellars();
  pqxx::connection connection(db().connection_string());
  pqxx::work work(connection);
  work.exec("set role rundlet_server");
  EXPECT_FALSE(Guard("read", [&] { work.exec("select * from rundlet.journal"); }).ok());
}

TEST_F(SchemaLawTest, TheServerWritesEntriesSetWise) {
  AddTwoCellars();
  const auto written = AsServer(
      "insert into rundlet.journal select current_setting('rundlet.cellar_id')::uuid, s, "
      "gen_random_uuid(), current_setting('rundlet.cellar_id')::uuid, s, 0, 'rack', "
      "decode(repeat('cd', 32), 'hex'), '\\x00', '2025-11-25T09:30:00Z' "
      "from unnest(array[2, 3, 4]) s returning seq");
  ASSERT_TRUE(written.ok()) << written.status();
  EXPECT_THAT(*written, SizeIs(3));
}

}  // namespace
}  // namespace rundlet::server
