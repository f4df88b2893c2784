#ifndef RUNDLET_TESTS_INTEGRATION_WORLD_H_
#define RUNDLET_TESTS_INTEGRATION_WORLD_H_

#include <sys/types.h>

#include <memory>
#include <string>
#include <vector>

#include "tests/integration/process.h"

namespace rundlet::testing {

// A folder of its own that goes when this goes.
class TempDir {
 public:
  TempDir();
  ~TempDir();
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

// Where a program under test is: beside this test program.
std::string Program(const std::string& name);

// How a server is run, other than usual.
struct ServerOptions {
  std::vector<std::string> before;  // words that stand before the program
  std::vector<std::string> more;    // options behind `serve`
  std::string host = "127.0.0.1";   // where it listens
  std::string data;                 // its data directory; empty: one of its own
  Environment environment;
};

// The real server on its private PostgreSQL cluster, on a free port of the loopback.
class ServerProcess {
 public:
  explicit ServerProcess(const std::string& folder, ServerOptions options = {});

  // Starts it, or starts it again, and waits until it serves. Fails the test if it does not within
  // three minutes.
  void Start();
  // SIGTERM; the exit code.
  int Stop();
  // SIGKILL.
  void Kill();
  // 0 while it does not run; of its postmaster, also where that is not its child any more.
  pid_t pid() const { return process_ == nullptr ? 0 : process_->pid(); }
  pid_t postmaster_pid() const;
  // What is to be otherwise at the next start.
  ServerOptions& options() { return options_; }

  std::string address() const { return address_; }
  // Runs an administrative command.
  Finished Admin(std::vector<std::string> words) const;
  std::string data() const { return options_.data.empty() ? folder_ + "/data" : options_.data; }
  std::string log() const { return folder_ + "/log"; }
  // Runs SQL on its private database, as the superuser.
  Finished Sql(const std::string& text) const;
  // A new cellar, or one more device of one: the invitation that lets it in.
  std::string NewCellar(const std::string& name, const std::string& master);
  std::string Invite(const std::string& cellar, const std::string& member,
                     const std::string& role = "hand");

 private:
  std::string MakeInvitation(std::vector<std::string> words) const;

  std::string folder_;
  ServerOptions options_;
  std::string address_;
  std::unique_ptr<Background> process_;
};

// One installation of the real client, with a clock that the test sets.
class ClientProcess {
 public:
  explicit ClientProcess(std::string home) : home_(std::move(home)) {}

  // What the clock shows from now on: ISO 8601.
  void SetClock(const std::string& now) { now_ = now; }
  // Words that stand before the program from now on, such as those of strace.
  void RunUnder(std::vector<std::string> before) { before_ = std::move(before); }

  // Runs `rundlet WORDS`. Nothing is synced unless the words say so.
  Finished Try(const std::vector<std::string>& words) const;
  // The same, and the test fails if it does not end well; returns what it printed.
  std::string Do(const std::vector<std::string>& words) const;
  // The same with a line as one types it; words with spaces stand in double quotes.
  std::string Do(const std::string& line) const;
  Finished Try(const std::string& line) const;

  // Runs `rundlet-sync` on its book, as `rundlet` does.
  Finished TrySync(const std::vector<std::string>& words = {}) const;

  std::string Digest() const;
  const std::string& home() const { return home_; }

 private:
  Finished TryProgram(const std::string& name, const std::vector<std::string>& words) const;

  std::string home_;
  std::string now_;
  std::vector<std::string> before_;
};

// The invitation in what a command printed; empty if there is none.
std::string FirstInvitation(const std::string& text);

// Splits a line into words; double quotes keep spaces.
std::vector<std::string> Words(const std::string& line);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_INTEGRATION_WORLD_H_
