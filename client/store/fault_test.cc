// Goal: an entry that was reported saved is there, and what was there before stays, whichever write
// or flush of the disk fails and wherever the process is killed. Method: count the operations of a
// clean run, then fail, or be killed at, each in turn.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>

#include "client/store/store.h"
#include "client/testing/entries.h"
#include "client/testing/faulty_disk.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using Fault = FaultyDisk::Fault;

constexpr int kEntries = 6;

// Saves notes up to the first error. Returns how many were reported saved. A store that cannot be
// opened saves none.
int SaveNotes(
    const StoreHome& home, int count, const std::function<void(int)>& saved = [](int) {}) {
  auto store = Store::Open(home);
  if (!store.ok()) return 0;
  NoteWriter writer(TestDevice());
  const auto start = store->Head();
  if (!start.ok()) return 0;
  writer.set_head(*start);
  for (int i = 0; i < count; ++i) {
    const ChainHead before = writer.head();
    // Of the size of a long entry, so that the log grows over several pages.
    if (!store->Append({writer.Write(std::string(3000, 'n'))}, before).ok()) return i;
    saved(i + 1);
  }
  return count;
}

// What is in the store, which must be sound: every entry whole, its chain without a gap, its head
// the last.
int64_t CheckAndCount(const StoreHome& home) {
  auto store = Store::Open(home);
  EXPECT_TRUE(store.ok()) << store.status();
  if (!store.ok()) return -1;
  uint64_t expected = 1;
  const absl::Status status = store->ForEach(0, [&](const StoredEntry& entry) {
    EXPECT_TRUE(entry.whole);
    EXPECT_EQ(entry.device_seq, expected++);
    return absl::OkStatus();
  });
  EXPECT_TRUE(status.ok()) << status;
  EXPECT_EQ(store->Head()->device_seq, expected - 1);
  Query check(store->db(), "PRAGMA integrity_check");
  EXPECT_TRUE(check.Next());
  EXPECT_EQ(check.Bytes(0), "ok");
  return static_cast<int64_t>(expected) - 1;
}

class FaultTest : public ::testing::TestWithParam<Fault> {};

TEST_P(FaultTest, WhatWasSavedIsThereAndWhatWasNotIsLoud) {
  FaultyDisk disk;
  int operations = 0;
  {
    TempDir dir;
    const StoreHome home(dir.path());
    ASSERT_TRUE(Store::Create(home, TestDevice(), 0).ok());
    disk.FailAt(0, Fault::kNone);
    ASSERT_EQ(SaveNotes(home, kEntries), kEntries);
    operations = disk.operations();
  }
  ASSERT_GT(operations, kEntries);
  for (int at = 1; at <= operations; ++at) {
    SCOPED_TRACE(at);
    TempDir dir;
    const StoreHome home(dir.path());
    ASSERT_TRUE(Store::Create(home, TestDevice(), 0).ok());
    disk.FailAt(at, GetParam());
    const int saved = SaveNotes(home, kEntries);
    EXPECT_LT(saved, kEntries);
    disk.FailAt(0, Fault::kNone);
    const int64_t there = CheckAndCount(home);
    // One that was reported as uncertain may be there.
    EXPECT_GE(there, saved);
    EXPECT_LE(there, saved + 1);
    EXPECT_EQ(SaveNotes(home, 1), 1) << "the store is usable once the disk is";
  }
}

INSTANTIATE_TEST_SUITE_P(AllFaults, FaultTest,
                         ::testing::Values(Fault::kIoError, Fault::kFull, Fault::kShortWrite),
                         [](const auto& info) {
                           return info.param == Fault::kIoError ? "IoError"
                                  : info.param == Fault::kFull  ? "DiskFull"
                                                                : "ShortWrite";
                         });

TEST(KillTest, WhatWasSavedBeforeTheKillIsThere) {
  FaultyDisk disk;
  int ended_cleanly = 0;
  for (int at = 1; ended_cleanly == 0; ++at) {
    SCOPED_TRACE(at);
    TempDir dir;
    const StoreHome home(dir.path());
    ASSERT_TRUE(Store::Create(home, TestDevice(), 0).ok());
    int reports[2];
    ASSERT_EQ(pipe(reports), 0);
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      disk.FailAt(at, Fault::kKill);
      SaveNotes(home, kEntries, [&](int) {
        if (write(reports[1], "s", 1) != 1) _exit(1);
      });
      _exit(0);
    }
    close(reports[1]);
    int64_t saved = 0;
    char report = 0;
    while (read(reports[0], &report, 1) == 1) ++saved;
    close(reports[0]);
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    ASSERT_TRUE(WIFEXITED(status));
    if (WEXITSTATUS(status) == 0) ++ended_cleanly;
    const int64_t there = CheckAndCount(home);
    EXPECT_GE(there, saved);
    EXPECT_LE(there, saved + 1);
    ASSERT_LT(at, 1000) << "the run never ends";
  }
}

// Creating a store, killed anywhere, leaves either none or a whole one.
TEST(KillTest, AHalfMadeStoreIsNone) {
  FaultyDisk disk;
  bool done = false;
  for (int at = 1; !done; ++at) {
    SCOPED_TRACE(at);
    TempDir dir;
    const StoreHome home(dir.path());
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      disk.FailAt(at, Fault::kKill);
      _exit(Store::Create(home, TestDevice(), 0).ok() ? 0 : 1);
    }
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    done = WIFEXITED(status) && WEXITSTATUS(status) == 0;
    const auto store = Store::Open(home);
    EXPECT_TRUE(store.ok() || absl::IsNotFound(store.status())) << store.status();
    if (done) {
      EXPECT_TRUE(store.ok());
    }
    ASSERT_LT(at, 1000) << "the run never ends";
  }
}

}  // namespace
}  // namespace rundlet::client
