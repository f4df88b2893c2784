// Case 16: the server, or its database, stands still (SIGSTOP) and is there all the same. Method: a
// stopped server does not answer `rundletd health`, and a sync gives up in time with the entry
// safe; a stopped database turns health to NOT_SERVING while the server goes on answering. Both
// come back.
#include <signal.h>

#include <fstream>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(30);
// A sync greets the server for five seconds, and asks what is wrong for some more.
constexpr absl::Duration kGivesUp = absl::Seconds(40);
// The probe is given two seconds, the monitor looks each second, and the command waits three.
constexpr absl::Duration kSaysSo = absl::Seconds(20);

// Whatever happens to the test: nobody stays stopped.
class Stopped {
 public:
  explicit Stopped(std::vector<pid_t> processes) : processes_(std::move(processes)) {
    for (const pid_t process : processes_) EXPECT_EQ(kill(process, SIGSTOP), 0);
  }
  ~Stopped() {
    for (const pid_t process : processes_) kill(process, SIGCONT);
  }

 private:
  std::vector<pid_t> processes_;
};

// A postmaster with its backends.
std::vector<pid_t> DatabaseOf(const ServerProcess& server) {
  std::vector<pid_t> processes = {server.postmaster_pid()};
  const Finished children = RunProgram(
      {"/usr/bin/env", "ps", "-o", "pid=", "--ppid", absl::StrCat(server.postmaster_pid())});
  for (const absl::string_view word :
       absl::StrSplit(children.out, absl::ByAnyChar(" \n"), absl::SkipEmpty())) {
    pid_t process = 0;
    if (absl::SimpleAtoi(word, &process)) processes.push_back(process);
  }
  return processes;
}

TEST_F(FaultCase, Case16_ServerOrDatabaseStandsStill) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ServerProcess& server = fleet.server();
  for (const bool database : {false, true}) {
    SCOPED_TRACE(database ? "the database" : "the server");
    fleet.MustSave(fleet.maud(), "draw sample T1 10mL");
    absl::Time released;
    {
      const Stopped stopped(database ? DatabaseOf(server) : std::vector<pid_t>{server.pid()});
      ++tally().runs;
      const absl::Time begin = absl::Now();
      EXPECT_TRUE(Await([&] { return !fleet.IsServing(); }, kSaysSo));
      const Finished health = server.Admin({"health", "--listen", server.address()});
      EXPECT_TRUE(absl::StrContains(health.err, database ? "its database is away" : "no answer"))
          << health.err;
      const Finished sync = fleet.Sync(fleet.maud());
      EXPECT_EQ(sync.exit_code, 5) << sync.out << sync.err;
      EXPECT_LE(absl::Now() - begin, kSaysSo + kGivesUp);
      EXPECT_EQ(CountIn(ReadBook(fleet.maud().home()), "outbox"), 1);
      // As long as the case asks for, where there is time for it.
      if (is_long()) absl::SleepFor(begin + absl::Seconds(30) - absl::Now());
      released = absl::Now();
    }
    EXPECT_TRUE(Await([&] { return fleet.IsServing(); }, kBound));
    EXPECT_TRUE(Await([&] { return fleet.Sync(fleet.maud()).exit_code == 0; }, kBound));
    Recovered(absl::Now() - released, kBound);
  }
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing
