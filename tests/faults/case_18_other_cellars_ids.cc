// Case 18: every call with another cellar's ids. The server's isolation_test does that already,
// with every procedure that reflection finds and as the database's own role: it is run here as it
// is. What this adds is a real fleet of two cellars, and the audit's look through every table and
// book.
#include "absl/strings/str_cat.h"
#include "tests/faults/case.h"

namespace rundlet::testing {
namespace {

TEST_F(FaultCase, Case18_OtherCellarsIds) {
  const Finished isolation = RunProgram({Program("isolation_test")});
  EXPECT_EQ(isolation.exit_code, 0) << isolation.out << isolation.err;
  EXPECT_THAT(isolation.out, ::testing::HasSubstr("[  PASSED  ]"));
  ++tally().runs;
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  const std::string seen =
      fleet.server()
          .Sql(absl::StrCat("select entry_id from rundlet.journal where cellar_id = '",
                            fleet.circle_id(), "' order by seq desc limit 1"))
          .out;
  const Finished foreign = fleet.neighbour().Try({"void", seen.substr(0, 36), "--reason", "x"});
  EXPECT_NE(foreign.exit_code, 0) << "the neighbour knows no such entry: " << foreign.out;
  ++tally().runs;
  fleet.Settle(absl::Seconds(30));
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
