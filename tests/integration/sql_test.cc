// Goal: the queries of docs/sql.md work as they stand, and agree with what was done.
// Method: a small season is written by the real client and synced to the real server; each block of
// SQL on the page is run by psql on the server's own PostgreSQL, and its rows are compared with
// what the season comes to.
#include <google/protobuf/util/json_util.h>

#include <fstream>
#include <map>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "rundlet/v1/board.pb.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

std::vector<std::string> QueriesOf(const std::string& page) {
  std::vector<std::string> queries;
  std::ifstream file(std::string(RUNDLET_SOURCE_DIR) + "/" + page);
  bool in_sql = false;
  for (std::string line; std::getline(file, line);) {
    if (absl::StartsWith(line, "```")) {
      in_sql = line == "```sql";
      if (in_sql) queries.emplace_back();
    } else if (in_sql) {
      absl::StrAppend(&queries.back(), line, "\n");
    }
  }
  return queries;
}

class SqlTest : public ::testing::Test {
 protected:
  SqlTest() : server_(folder_.path() + "/server"), client_(folder_.path() + "/client") {}

  void SetUp() override {
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    const std::string invitation = server_.NewCellar("Thistledown Wine Circle", "Maud Ferrier");
    client_.SetClock("2026-03-01T10:00:00Z");
    client_.Do({"join", invitation});
  }

  // What psql prints of a query, columns parted by bars; `cellar` is a variable of it.
  std::string Psql(const std::string& query, const std::string& cellar) {
    const std::string file = folder_.path() + "/query.sql";
    std::ofstream(file)
        << "select set_config('rundlet.cellar_id', :'cellar', false) \\g /dev/null\n"
        << query;
    const Finished finished =
        RunProgram({"/usr/bin/env", "psql", "-X", "-q", "-At", "-v", "ON_ERROR_STOP=1", "-v",
                    "cellar=" + cellar, "-h", folder_.path() + "/server/data/socket", "-U",
                    "rundlet", "-d", "rundlet", "-f", file});
    EXPECT_EQ(finished.exit_code, 0) << finished.err << query;
    return finished.out;
  }

  TempDir folder_;
  ServerProcess server_;
  ClientProcess client_;
};

TEST_F(SqlTest, ThePagesQueriesTellWhatWasDone) {
  for (const char* line : {
           "vessel new C1 C2 --capacity 25L",
           "bin new Rack",
           "packet new \"potassium metabisulfite\" --name KMS-1 --code 77-104 --amount 100g",
           "receive juice 20L --into C1 --lot Harrow --at 2025-10-01",
           "receive juice 10L --into C2 --lot Fenwick --at 2025-10-01",
           "add C1 \"potassium metabisulfite\" 1.5g --at 2025-10-02",
           "add C1 \"potassium metabisulfite\" 0.5g --at 2025-10-03",
           "add C2 \"potassium metabisulfite\" 1g --at 2025-10-03",
           "treat C1 filter --at 2025-12-20",
           "bottle C1=9L --size 750mL --count 12 --bin Rack --run H25 --at 2025-12-20",
           "take H25 2 --from Rack --reason served --at 2025-12-24",
           "take H25 1 --from Rack --reason sold --at 2025-12-31",
           "take H25 3 --from Rack --reason served --at 2026-01-05",
           "sync",
       }) {
    client_.Do(std::string(line));
  }
  const std::string cellar =
      Psql("select cellar_id from rundlet.cellar;", "00000000-0000-0000-0000-000000000000");
  ASSERT_EQ(cellar.size(), 37u) << cellar;
  const std::vector<std::string> queries = QueriesOf("docs/sql.md");
  ASSERT_EQ(queries.size(), 4u);
  const std::string id = cellar.substr(0, 36);
  EXPECT_EQ(Psql(queries[0], id), "C1|11.000|Harrow\nC2|10.000|Fenwick\n");
  EXPECT_EQ(Psql(queries[1], id), "KMS-1|77-104|Fenwick|1.000\nKMS-1|77-104|Harrow|2.000\n");
  EXPECT_EQ(Psql(queries[2], id),
            "2025-12|served|H25|2\n2025-12|sold|H25|1\n2026-01|served|H25|3\n");
  EXPECT_EQ(Psql(queries[3], id), "C1|11000000\nH25|9000000\n");
}

// The recursive query of the page against the client's trace, which walks by links: a lot that was
// split, topped with another, blended, bottled in part and emptied back.
TEST_F(SqlTest, TheRecursiveQueryAndTheTraceAgree) {
  for (const char* line : {
           "vessel new C1 C2 C3 C4 --capacity 25L",
           "bin new Rack",
           "receive juice 20L --into C1 --lot Harrow --at 2025-10-01",
           "receive juice 20L --into C2 --lot Fenwick --at 2025-10-01",
           "rack C1=7.777L C3 --at 2025-10-02",
           "top C3 --from C2=1.234L --at 2025-10-03",
           "top C1 --from C3=0.555L --at 2025-10-04",
           "blend --from C1=3.333L --from C3=2.221L --to C4 --at 2025-10-05",
           "draw sample C4 100mL --at 2025-10-06",
           "treat C3 filter --at 2025-12-01",
           "bottle C3=3L --size 750mL --count 4 --bin Rack --run H25 --at 2025-12-20",
           "receive juice 2L --into C4 --lot Harrow --at 2025-12-21",
           "sync",
       }) {
    client_.Do(std::string(line));
  }
  const std::string cellar =
      Psql("select cellar_id from rundlet.cellar;", "00000000-0000-0000-0000-000000000000");
  const std::string by_sql = Psql(QueriesOf("docs/sql.md").at(3), cellar.substr(0, 36));
  v1::Trace trace;
  ASSERT_TRUE(google::protobuf::util::JsonStringToMessage(
                  client_.Do("trace forward lot:Harrow --json"), &trace)
                  .ok());
  std::map<std::string, int64_t> amounts;
  for (const v1::TraceEnd& end : trace.ends()) {
    if (end.thing_id().empty()) continue;  // no longer here
    const size_t name = end.description().find(' ') + 1;
    amounts[end.description().substr(name, end.description().find(':') - name)] =
        end.amount().base();
  }
  EXPECT_EQ(amounts.size(), 4u) << "three vessels and a run; C2 has none of it";
  std::string by_trace;
  for (const auto& [place, ul] : amounts) absl::StrAppend(&by_trace, place, "|", ul, "\n");
  EXPECT_EQ(by_sql, by_trace);
}

}  // namespace
}  // namespace rundlet::testing
