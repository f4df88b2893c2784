// Goal: what a statement costs does not grow with the journal. PostgreSQL plans each prepared
// statement once, and a new server does so over empty tables, where reading all rows of a cellar
// looks as cheap as going by the whole key. Method: every statement of a server's connection is
// planned over tables that are empty, and over tables that have just been filled and were never
// analysed; no plan may read a table in any other way than by an index, and no index scan may throw
// rows away by a filter.
#include <iterator>
#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "gmock/gmock.h"
#include "server/pg/testing/test_database.h"
#include "server/store/cellar_transaction.h"
#include "server/store/projection_tables.h"

namespace rundlet::server {
namespace {

using ::testing::IsEmpty;

// Those of the write path and of reading. What lists all that there is of a kind is not among them,
// nor is the removal of rows that a late entry changed: over empty tables that is planned as a look
// at all rows of the cellar, and stays so until PostgreSQL has statistics or somebody connects
// anew.
constexpr const char* kStatements[] = {
    "set_cellar",      "read_head",    "lock_head",   "append_journal", "move_head",
    "read_journal",    "read_these",   "read_leaf",   "read_columns",   "seq_of",
    "last_device_seq", "append_tiles", "read_tiles",  "read_roots",     "read_leaves",
    "append_seals",    "read_seals",   "find_device", "find_devices"};

class StatementPlansTest : public DatabaseTest {
 protected:
  struct Statement {
    std::string name;
    int parameters = 0;
  };

  // The library sends a statement to the server when it is first used: here all of them are.
  static void SendStatements(pqxx::connection& connection) {
    for (const char* name : kStatements) connection.prepare_now(name);
    for (size_t i = 0; i < kTableCount; ++i) {
      const absl::string_view table = SpecOf(static_cast<Table>(i)).name;
      connection.prepare_now(absl::StrCat("insert_", table));
    }
  }

  static std::vector<Statement> StatementsOf(pqxx::work& work) {
    std::vector<Statement> statements;
    for (const pqxx::row& row : work.exec("select name, cardinality(parameter_types)"
                                          " from pg_prepared_statements order by name"))
      statements.push_back({row[0].c_str(), row[1].as<int>()});
    return statements;
  }

  static std::vector<std::string> PlanOf(pqxx::work& work, const Statement& statement) {
    const std::vector<std::string> nulls(statement.parameters, "null");
    const std::string call =
        absl::StrCat("explain (costs off) execute ", statement.name,
                     nulls.empty() ? "" : absl::StrCat("(", absl::StrJoin(nulls, ", "), ")"));
    std::vector<std::string> lines;
    for (const pqxx::row& row : work.exec(call)) lines.emplace_back(row[0].c_str());
    return lines;
  }

  // The lines of a plan that make its cost grow with the table.
  static std::vector<std::string> Faults(const std::vector<std::string>& plan) {
    std::vector<std::string> faults;
    bool in_index_scan = false;
    for (const std::string& line : plan) {
      if (absl::StrContains(line, "->") || !absl::StrContains(line, ": "))
        in_index_scan =
            absl::StrContains(line, "Index Scan") || absl::StrContains(line, "Index Only Scan");
      const bool filtered = in_index_scan && absl::StrContains(line, " Filter: ");
      if (filtered || absl::StrContains(line, "Seq Scan") || absl::StrContains(line, "Bitmap") ||
          absl::StrContains(line, "Hash Join") || absl::StrContains(line, "Merge Join") ||
          absl::StrContains(line, "Join Filter"))
        faults.push_back(line);
    }
    return faults;
  }

  static void ExpectPlansByKey(pqxx::connection& connection) {
    SendStatements(connection);
    pqxx::work work(connection);
    work.exec("set local role rundlet_server");  // so that row-level security is in the plans
    work.exec(
        "select set_config('rundlet.cellar_id', '01900000-0000-7000-8000-000000000001', true)");
    const std::vector<Statement> statements = StatementsOf(work);
    ASSERT_EQ(statements.size(), std::size(kStatements) + kTableCount);
    for (const Statement& statement : statements) {
      const std::vector<std::string> plan = PlanOf(work, statement);
      EXPECT_THAT(Faults(plan), IsEmpty()) << statement.name << "\n" << absl::StrJoin(plan, "\n");
    }
  }
};

TEST_F(StatementPlansTest, GoByTheKeyOnANewServer) {
  pqxx::connection connection(db().connection_string());
  CellarTransaction::Prepare(connection);
  ExpectPlansByKey(connection);
}

TEST_F(StatementPlansTest, GoByTheKeyOnceTheJournalHasGrown) {
  pqxx::connection connection(db().connection_string());
  {
    pqxx::work work(connection);
    work.exec0(R"sql(
      insert into rundlet.journal
      select '01900000-0000-7000-8000-000000000001', n, gen_random_uuid(),
             '01900000-0000-7000-8000-000000000002', n, n, 'note', sha256(n::text::bytea), '\x00',
             '2026-01-01 00:00:00Z'
      from generate_series(1, 3000) n)sql");
    work.exec0(R"sql(
      insert into rundlet.tree_tile
      select '01900000-0000-7000-8000-000000000001', 0, n, decode(repeat('00', 512), 'hex'),
             decode(repeat('00', 32), 'hex')
      from generate_series(0, 3000) n)sql");
    work.commit();
  }
  CellarTransaction::Prepare(connection);
  ExpectPlansByKey(connection);
}

}  // namespace
}  // namespace rundlet::server
