// Goal: rundletd as its users run it: starts, says when it is ready, is administered while it runs
// and while it does not, and stops when it is told to.
// Method: the program itself as a child process on a data directory of its own.
#include <signal.h>
#include <sys/wait.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "gmock/gmock.h"
#include "server/health_client.h"
#include "server/pg/child_process.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

std::string ReadFile(const std::string& path) {
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

class RundletdTest : public ::testing::Test {
 protected:
  ~RundletdTest() override {
    if (pid_ > 0) Stop(SIGKILL);
  }

  pid_t Begin(std::vector<std::string> arguments, const std::string& output) {
    std::vector<std::string> argv = {RUNDLETD};
    argv.insert(argv.end(), arguments.begin(), arguments.end());
    if (std::find(argv.begin(), argv.end(), "--data") == argv.end()) {
      argv.insert(argv.end(), {"--data", dir_.path() + "/data"});
    }
    const auto pid = StartChild({.argv = argv, .working_dir = dir_.path(), .output_path = output});
    EXPECT_TRUE(pid.ok()) << pid.status();
    return pid.ok() ? *pid : -1;
  }

  struct Ended {
    int code = -1;
    std::string output;
  };
  Ended Run(std::vector<std::string> arguments) {
    const std::string output = absl::StrCat(dir_.path(), "/command.out");
    const pid_t pid = Begin(std::move(arguments), output);
    int status = 0;
    EXPECT_EQ(::waitpid(pid, &status, 0), pid);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, ReadFile(output)};
  }

  void StartServer() {
    const std::string port_file = dir_.path() + "/port";
    pid_ = Begin({"--listen", "127.0.0.1:0", "--port-file", port_file}, log());
    ASSERT_TRUE(Await([&] { return !ReadFile(port_file).empty(); })) << ReadFile(log());
    ASSERT_TRUE(absl::SimpleAtoi(ReadFile(port_file), &port_));
  }

  // Returns the exit status, or -1 for one that a signal ended.
  int Stop(int signal) {
    ::kill(pid_, signal);
    int status = 0;
    EXPECT_EQ(::waitpid(pid_, &status, 0), pid_);
    pid_ = 0;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }

  std::string log() const { return dir_.path() + "/server.log"; }
  std::string address() const { return absl::StrCat("127.0.0.1:", port_); }

  TempDir dir_;
  pid_t pid_ = 0;
  int port_ = 0;
};

TEST_F(RundletdTest, ServesAndIsAdministeredAndStops) {
  // Nothing runs yet: the command starts the database for a moment.
  Ended made = Run({"cellar", "new", "Thistledown Wine Circle", "--master", "Isolde Thornbury"});
  EXPECT_EQ(made.code, 0) << made.output;
  EXPECT_THAT(made.output, HasSubstr("\ntoken rdl1."));

  StartServer();
  EXPECT_THAT(ReadFile(log()),
              HasSubstr(absl::StrCat("event=ready listen=127.0.0.1:0 port=", port_)));
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 0);
  // While it runs, beside it.
  const Ended device = Run({"device", "new", "--cellar", "Thistledown Wine Circle", "--member",
                            "Bram Oakshott", "--role", "guest", "--device", "tablet"});
  EXPECT_EQ(device.code, 0) << device.output;
  const Ended listed = Run({"device", "list"});
  EXPECT_THAT(listed.output, HasSubstr("guest   Bram Oakshott, on tablet"));
  EXPECT_EQ(Run({"rebuild", "--compare"}).code, 0);
  EXPECT_EQ(Run({"rebuild"}).code, 0);
  // A second server has no right to the directory.
  const Ended second = Run({"serve", "--listen", "127.0.0.1:0"});
  EXPECT_EQ(second.code, 1);
  EXPECT_THAT(second.output, HasSubstr("error: "));

  EXPECT_EQ(Stop(SIGTERM), 0) << ReadFile(log());
  EXPECT_THAT(ReadFile(log()), HasSubstr("event=stopped"));
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 1);
  EXPECT_THAT(Run({"cellar", "list"}).output, HasSubstr("Thistledown Wine Circle"));
}

TEST_F(RundletdTest, StartsAgainAfterBeingKilled) {
  StartServer();
  EXPECT_EQ(Stop(SIGKILL), -1);
  std::remove((dir_.path() + "/port").c_str());
  StartServer();
  EXPECT_TRUE(CheckHealth(address(), absl::Seconds(10)).ok());
  EXPECT_EQ(Stop(SIGINT), 0);
}

TEST_F(RundletdTest, AnAddressInUseIsToldBeforeAnyDatabaseIsMade) {
  StartServer();
  const std::string elsewhere = dir_.path() + "/elsewhere";
  const Ended second = Run({"--listen", address(), "--data", elsewhere});
  EXPECT_EQ(second.code, 1);
  EXPECT_THAT(second.output, HasSubstr("choose another port"));
  EXPECT_NE(::access(elsewhere.c_str(), F_OK), 0);
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, AQuestionMakesNoDatabase) {
  const Ended listed = Run({"cellar", "list"});
  EXPECT_EQ(listed.code, 1);
  EXPECT_THAT(listed.output, HasSubstr("rundletd cellar new"));
  EXPECT_NE(::access((dir_.path() + "/data").c_str(), F_OK), 0);
}

TEST_F(RundletdTest, RefusesWhatItCannotDoSafelyOrDoesNotKnow) {
  const Ended open = Run({"--listen", "0.0.0.0:7117"});
  EXPECT_EQ(open.code, 2);
  EXPECT_THAT(open.output, HasSubstr("TLS"));
  EXPECT_EQ(Run({"frobnicate"}).code, 2);
  EXPECT_EQ(Run({"cellar", "new"}).code, 2);
  EXPECT_EQ(Run({"device", "new", "--cellar", "x", "--member", "y", "--role", "king"}).code, 2);
  EXPECT_EQ(Run({"--help"}).code, 0);
}

}  // namespace
}  // namespace rundlet::server
