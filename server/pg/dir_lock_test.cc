// Goal: one holder per data directory, and a refusal that names it. Method: two locks in one
// process (flock belongs to the open file), and one held by a child that is killed.
#include "server/pg/dir_lock.h"

#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <string>
#include <thread>
#include <utility>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

TEST(DirLockTest, SecondHolderIsRefusedByNameUntilTheFirstLetsGo) {
  const TempDir temp;
  const std::string dir = temp.path() + "/data";
  absl::StatusOr<DirLock> first = DirLock::Take(dir);
  ASSERT_TRUE(first.ok()) << first.status();

  const absl::Status refused = DirLock::Take(dir, absl::Milliseconds(20)).status();
  EXPECT_EQ(refused.code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(refused.message()), HasSubstr(absl::StrCat("process ", ::getpid(), ":")));
  EXPECT_THAT(std::string(refused.message()), HasSubstr(dir));

  { const DirLock moved = *std::move(first); }
  EXPECT_TRUE(DirLock::Take(dir).ok());
}

TEST(DirLockTest, WaitsForAHolderThatIsEnding) {
  const TempDir temp;
  absl::StatusOr<DirLock> first = DirLock::Take(temp.path());
  ASSERT_TRUE(first.ok()) << first.status();
  std::thread ending([&first] { const DirLock last = *std::move(first); });
  EXPECT_TRUE(DirLock::Take(temp.path(), absl::Seconds(20)).ok());
  ending.join();
}

TEST(DirLockTest, ADeadHolderHoldsNothing) {
  const TempDir temp;
  int ends[2];
  ASSERT_EQ(::pipe(ends), 0);
  const pid_t child = ::fork();
  if (child == 0) {
    const absl::StatusOr<DirLock> lock = DirLock::Take(temp.path());
    const char answer = lock.ok() ? 'y' : 'n';
    if (::write(ends[1], &answer, 1) != 1) ::_exit(1);
    while (true) ::pause();
  }
  char answer = 0;
  ASSERT_EQ(::read(ends[0], &answer, 1), 1);
  ASSERT_EQ(answer, 'y');
  EXPECT_THAT(std::string(DirLock::Take(temp.path()).status().message()),
              HasSubstr(absl::StrCat("process ", child, ":")));
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  EXPECT_TRUE(DirLock::Take(temp.path()).ok());
}

TEST(DirLockTest, AnUnusableDirectoryIsNamed) {
  const absl::Status status = DirLock::Take("/nonexistent/cellar").status();
  EXPECT_EQ(status.code(), absl::StatusCode::kNotFound);
  EXPECT_THAT(std::string(status.message()), HasSubstr("/nonexistent/cellar"));
}

}  // namespace
}  // namespace rundlet::server
