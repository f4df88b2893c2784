#ifndef RUNDLET_TESTS_INTEGRATION_WORLD_H_
#define RUNDLET_TESTS_INTEGRATION_WORLD_H_

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

// The real server on its private PostgreSQL cluster, on a free port of the loopback.
class ServerProcess {
 public:
  explicit ServerProcess(const std::string& folder);

  // Starts it, or starts it again, and waits until it serves. Fails the test if it does not within
  // a minute.
  void Start();
  // SIGTERM; the exit code.
  int Stop();
  // SIGKILL.
  void Kill();

  std::string address() const { return address_; }
  // Runs an administrative command.
  Finished Admin(std::vector<std::string> words) const;
  std::string data() const { return folder_ + "/data"; }
  // Runs SQL on its private database, as the superuser.
  Finished Sql(const std::string& text) const;
  // A new cellar, or one more device of one: the invitation that lets it in.
  std::string NewCellar(const std::string& name, const std::string& master);
  std::string Invite(const std::string& cellar, const std::string& member,
                     const std::string& role = "hand");

 private:
  std::string MakeInvitation(std::vector<std::string> words) const;

  std::string folder_;
  std::string address_;
  std::unique_ptr<Background> process_;
};

// One installation of the real client, with a clock that the test sets.
class ClientProcess {
 public:
  explicit ClientProcess(std::string home) : home_(std::move(home)) {}

  // What the clock shows from now on: ISO 8601.
  void SetClock(const std::string& now) { now_ = now; }

  // Runs `rundlet WORDS`. Nothing is synced unless the words say so.
  Finished Try(const std::vector<std::string>& words) const;
  // The same, and the test fails if it does not end well; returns what it printed.
  std::string Do(const std::vector<std::string>& words) const;
  // The same with a line as one types it; words with spaces stand in double quotes.
  std::string Do(const std::string& line) const;
  Finished Try(const std::string& line) const;

  std::string Digest() const;
  const std::string& home() const { return home_; }

 private:
  std::string home_;
  std::string now_;
};

// The invitation in what a command printed; empty if there is none.
std::string FirstInvitation(const std::string& text);

// Splits a line into words; double quotes keep spaces.
std::vector<std::string> Words(const std::string& line);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_INTEGRATION_WORLD_H_
