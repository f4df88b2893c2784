// Goal: a child gets the user, directory, signals and environment that it should and nothing else
// of ours, and a failure to start it says which step failed. Method: small system programs as
// children.
#include "server/pg/child_process.h"

#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class ChildProcessTest : public testing::Test {
 protected:
  ChildOptions Shell(const std::string& script) {
    return {.argv = {"/bin/sh", "-c", script}, .working_dir = dir_.path(), .output_path = Output()};
  }
  std::string Output() const { return dir_.path() + "/output"; }

  TempDir dir_;
};

TEST_F(ChildProcessTest, CapturesOutputAndReportsFailure) {
  ASSERT_TRUE(RunChild(Shell("echo out; echo err >&2")).ok());
  EXPECT_EQ(LastLines(Output()), "out\nerr");

  const absl::Status failed = RunChild(Shell("echo no space in the cellar; exit 3"));
  EXPECT_EQ(failed.code(), absl::StatusCode::kInternal);
  EXPECT_THAT(std::string(failed.message()), HasSubstr("exit code 3"));
  EXPECT_THAT(std::string(failed.message()), HasSubstr("no space in the cellar"));
  EXPECT_THAT(std::string(RunChild(Shell("kill -9 $$")).message()), HasSubstr("signal 9"));
}

TEST_F(ChildProcessTest, LeaksNothingIntoTheChild) {
  ::setenv("PGHOST", "elsewhere", 1);
  const absl::Status status = RunChild(Shell("pwd; umask; cat; env"));
  ::unsetenv("PGHOST");
  ASSERT_TRUE(status.ok()) << status;
  const std::string output = LastLines(Output());
  EXPECT_THAT(output, HasSubstr(dir_.path()));
  EXPECT_THAT(output, HasSubstr("0077"));
  EXPECT_THAT(output, HasSubstr("LC_ALL=C"));
  EXPECT_THAT(output, Not(HasSubstr("PGHOST")));
}

TEST_F(ChildProcessTest, ClosesOurFiles) {
  std::ofstream inheritable(dir_.path() + "/open");
  ChildOptions child = Shell("");
  child.argv = {"/bin/ls", "/proc/self/fd"};
  ASSERT_TRUE(RunChild(child).ok());
  EXPECT_EQ(LastLines(Output()), "0\n1\n2\n3");  // 3 is the directory that ls reads
}

TEST_F(ChildProcessTest, StartsWithNoSignalBlockedOrIgnored) {
  sigset_t blocked, before;
  ::sigemptyset(&blocked);
  ::sigaddset(&blocked, SIGTERM);
  ::pthread_sigmask(SIG_BLOCK, &blocked, &before);
  ::signal(SIGPIPE, SIG_IGN);
  const absl::Status status = RunChild(Shell("grep -E 'Sig(Blk|Ign)' /proc/self/status"));
  ::signal(SIGPIPE, SIG_DFL);
  ::pthread_sigmask(SIG_SETMASK, &before, nullptr);
  ASSERT_TRUE(status.ok()) << status;
  EXPECT_EQ(LastLines(Output()), "SigBlk:\t0000000000000000\nSigIgn:\t0000000000000000");
}

TEST_F(ChildProcessTest, DropsToAnotherUserWithoutGroups) {
  if (::geteuid() != 0) GTEST_SKIP() << "only root can become another user";
  const absl::StatusOr<OsUser> nobody = FindOsUser("nobody");
  ASSERT_TRUE(nobody.ok()) << nobody.status();
  ChildOptions child = Shell("id -u; id -g; id -G; grep CapEff /proc/self/status");
  child.run_as = *nobody;
  const absl::Status status = RunChild(child);
  ASSERT_TRUE(status.ok()) << status;
  EXPECT_EQ(LastLines(Output()), absl::StrCat(nobody->uid, "\n", nobody->gid, "\n", nobody->gid,
                                              "\nCapEff:\t0000000000000000"));
}

TEST_F(ChildProcessTest, NamesTheStepThatFailed) {
  ChildOptions child = Shell("true");
  child.argv[0] = "/nonexistent/initdb";
  EXPECT_EQ(StartChild(child).status().code(), absl::StatusCode::kNotFound);
  EXPECT_THAT(std::string(StartChild(child).status().message()), HasSubstr("/nonexistent/initdb"));

  child = Shell("true");
  child.working_dir = "/nonexistent/cellar";
  EXPECT_THAT(std::string(StartChild(child).status().message()),
              HasSubstr("cannot enter /nonexistent/cellar"));
}

TEST_F(ChildProcessTest, UnreachableDirectoryOfAnotherUserIsExplained) {
  if (::geteuid() != 0) GTEST_SKIP() << "only root can become another user";
  ASSERT_EQ(::chmod(dir_.path().c_str(), 0700), 0);
  ChildOptions child = Shell("true");
  child.run_as = *FindOsUser("nobody");
  const absl::Status status = StartChild(child).status();
  EXPECT_EQ(status.code(), absl::StatusCode::kPermissionDenied);
  EXPECT_THAT(std::string(status.message()), HasSubstr("as user nobody: it cannot enter"));
}

TEST_F(ChildProcessTest, UnknownUsersAreNotFound) {
  EXPECT_EQ(FindOsUser("no-such-cellar-hand").status().code(), absl::StatusCode::kNotFound);
  ASSERT_TRUE(FindOsUser(uid_t{0}).ok());
  EXPECT_EQ(FindOsUser(uid_t{0})->name, "root");
}

}  // namespace
}  // namespace rundlet::server
