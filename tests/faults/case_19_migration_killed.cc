// Case 19: the program is killed at each statement of bringing the schema up to date. Method: a
// fresh database of the server's own cluster, in which a trigger counts the statements that change
// the schema and stops at one; there the program is killed, by SIGKILL, in the middle of its
// transaction. The next run must complete, and give the same schema as one that nothing happened
// to.
#include <signal.h>

#include "absl/strings/ascii.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "tests/faults/case.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);

// Whoever comes to the statement waits there to be killed.
constexpr char kStopper[] =
    "create schema fault;"
    "create sequence fault.statement;"
    "create table fault.plan as select 0::bigint as stop_at;"
    "create function fault.count() returns event_trigger language plpgsql as $$ begin"
    " if nextval('fault.statement') = (select stop_at from fault.plan) then"
    " perform pg_sleep(3600); end if; end $$;"
    "create event trigger count on ddl_command_end execute function fault.count()";

class Case19 {
 public:
  explicit Case19(Fleet& fleet) : fleet_(fleet) {}

  // A database with nothing in it but the stopper.
  void NewDatabase(int stop_at) {
    MustRun("postgres", "drop database if exists migrating (force)");
    MustRun("postgres", "create database migrating");
    MustRun("migrating", kStopper);
    MustRun("migrating", absl::StrCat("update fault.plan set stop_at = ", stop_at));
  }
  Finished Migrate() const { return RunProgram(Words()); }
  // Runs until it stops, and kills it there.
  void MigrateAndKill() {
    Background program(Words(), {}, fleet_.folder() + "/migration.log");
    EXPECT_TRUE(Await([&] { return IsStopped() || !program.Alive(); }, kBound));
    EXPECT_TRUE(program.Alive()) << "it ended before it came to the statement";
    program.Stop(SIGKILL);
    MustRun("postgres",
            "select pg_terminate_backend(pid) from pg_stat_activity where datname = 'migrating'");
    MustRun("migrating", "update fault.plan set stop_at = 0");
  }
  int Statements() {
    int count = 0;
    EXPECT_TRUE(absl::SimpleAtoi(
        absl::StripAsciiWhitespace(MustRun("migrating", "select last_value from fault.statement")),
        &count));
    return count;
  }
  std::string Schema() const {
    const Finished dumped = RunProgram({"/usr/bin/env", "pg_dump", "-h", Socket(), "-U", "rundlet",
                                        "-d", "migrating", "-n", "rundlet", "--schema-only"});
    EXPECT_EQ(dumped.exit_code, 0) << dumped.err;
    // Newer releases of pg_dump write a secret of the moment around it.
    std::string text;
    for (const absl::string_view line : absl::StrSplit(dumped.out, '\n'))
      if (line.empty() || line[0] != '\\') absl::StrAppend(&text, line, "\n");
    return text;
  }
  std::string Applied() {
    return MustRun("migrating",
                   "select number, name, encode(sha256, 'hex') from rundlet.schema_migration "
                   "order by number");
  }

 private:
  std::string Socket() const { return fleet_.server().data() + "/socket"; }
  std::vector<std::string> Words() const {
    return {Program("rundletd"), "cellar", "list", "--database",
            absl::StrCat("host=", Socket(), " user=rundlet dbname=migrating")};
  }
  bool IsStopped() {
    return MustRun("postgres",
                   "select 'stopped' from pg_stat_activity where datname = 'migrating' and "
                   "wait_event = 'PgSleep'") != "";
  }
  std::string MustRun(const std::string& database, const std::string& sql) {
    const Finished done =
        RunProgram({"/usr/bin/env", "psql", "-X", "-q", "-At", "-v", "ON_ERROR_STOP=1", "-h",
                    Socket(), "-U", "rundlet", "-d", database, "-c", sql});
    EXPECT_EQ(done.exit_code, 0) << sql << "\n" << done.err;
    return done.out;
  }

  Fleet& fleet_;
};

TEST_F(FaultCase, Case19_MigrationKilledAtEachStatement) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Case19 play(fleet);
  play.NewDatabase(0);
  const Finished clean = play.Migrate();
  ASSERT_EQ(clean.exit_code, 0) << clean.err;
  const int statements = play.Statements();
  ASSERT_GT(statements, 50);
  const std::string schema = play.Schema();
  const std::string applied = play.Applied();
  for (const int at : Places(statements, 6)) {
    SCOPED_TRACE(absl::StrCat("killed at statement ", at, " of ", statements));
    play.NewDatabase(at);
    play.MigrateAndKill();
    ++tally().runs;
    const absl::Time begin = absl::Now();
    const Finished again = play.Migrate();
    EXPECT_EQ(again.exit_code, 0) << again.err;
    Recovered(absl::Now() - begin, kBound);
    EXPECT_EQ(play.Schema(), schema);
    EXPECT_EQ(play.Applied(), applied);
    if (HasFailure()) break;
  }
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
