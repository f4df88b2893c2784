// Goal: what the store says it has saved is there afterwards, whoever else uses the store and
// whatever became of the file. Method: stores in temporary directories, reopened, used by two at
// once, and damaged on purpose.
#include "client/store/store.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>

#include "client/base/file.h"
#include "client/store/file_lock.h"
#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class StoreTest : public ::testing::Test {
 protected:
  Store Create() { return Checked(Store::Create(home_, TestDevice(), 0)); }
  Store Open() { return Checked(Store::Open(home_)); }
  static Store Checked(absl::StatusOr<Store> store) {
    if (!store.ok()) {
      ADD_FAILURE() << store.status();
      abort();
    }
    return *std::move(store);
  }
  // Writes a note and takes it in.
  Uuid Save(Store& store, const std::string& text) {
    const ChainHead before = writer_.head();
    const WrittenEntry entry = writer_.Write(text);
    const absl::Status status = store.Append({entry}, before);
    EXPECT_TRUE(status.ok()) << status;
    return *Uuid::FromBytes(entry.entry.entry_id());
  }
  int Mode(const std::string& path) {
    struct stat info = {};
    EXPECT_EQ(stat(path.c_str(), &info), 0) << path;
    return info.st_mode & 0777;
  }

  TempDir dir_;
  StoreHome home_{dir_.path() + "/deep/book"};
  NoteWriter writer_{TestDevice()};
};

TEST_F(StoreTest, IsItsOwnersAlone) {
  Create();
  EXPECT_EQ(Mode(home_.dir()), 0700);
  EXPECT_EQ(Mode(home_.database()), 0600);
}

TEST_F(StoreTest, KnowsItsDeviceAfterReopening) {
  Create();
  const Store store = Open();
  EXPECT_EQ(store.device().device_id, TestDevice().device_id);
  EXPECT_EQ(store.device().cellar_name, "Thistledown Wine Circle");
}

TEST_F(StoreTest, IsMadeOnce) {
  Create();
  EXPECT_TRUE(absl::IsAlreadyExists(Store::Create(home_, TestDevice(), 0).status()));
}

TEST_F(StoreTest, SaysThatNothingWasJoined) {
  const absl::Status status = Store::Open(home_).status();
  EXPECT_TRUE(absl::IsNotFound(status));
  EXPECT_THAT(std::string(status.message()), HasSubstr("rundlet join"));
}

TEST_F(StoreTest, KeepsEntriesAndTheEndOfTheChain) {
  Uuid first, second;
  {
    Store store = Create();
    first = Save(store, "one");
    second = Save(store, "two");
  }
  Store store = Open();
  EXPECT_THAT(IdsIn(store, EntryState::kOutbox), ElementsAre(first, second));
  const auto head = store.Head();
  ASSERT_TRUE(head.ok());
  EXPECT_EQ(head->device_seq, 2u);
  EXPECT_EQ(head->hash, writer_.head().hash);
}

TEST_F(StoreTest, TakesSeveralEntriesAllOrNone) {
  Store store = Create();
  const ChainHead before = writer_.head();
  std::vector<WrittenEntry> entries = {writer_.Write("one"), writer_.Write("two")};
  entries.push_back(entries[0]);  // its id is there already
  EXPECT_FALSE(store.Append(entries, before).ok());
  EXPECT_THAT(IdsIn(store, EntryState::kOutbox), IsEmpty());
  EXPECT_EQ(store.Head()->device_seq, 0u);
}

TEST_F(StoreTest, RefusesAnEntryWrittenAfterAnotherHead) {
  Store store = Create();
  const ChainHead before = writer_.head();
  const WrittenEntry mine = writer_.Write("mine");
  NoteWriter other(TestDevice());
  ASSERT_TRUE(store.Append({other.Write("theirs")}, before).ok());
  EXPECT_TRUE(absl::IsAborted(store.Append({mine}, before)));
}

TEST_F(StoreTest, WritesNothingBeforeOwnEntriesAreFetched) {
  Store store = Checked(Store::Create(home_, TestDevice(), /*needed_seq=*/3));
  const absl::Status status = store.Head().status();
  EXPECT_TRUE(absl::IsFailedPrecondition(status));
  EXPECT_THAT(std::string(status.message()), HasSubstr("rundlet sync"));
  EXPECT_FALSE(store.Append({writer_.Write("too early")}, {}).ok());
}

TEST_F(StoreTest, SaysWhenAnotherProgramHoldsIt) {
  Store store = Create();
  Store other = Open();
  auto held = Transaction::Begin(other.db());
  ASSERT_TRUE(held.ok());
  sqlite3_busy_timeout(store.db().handle(), 0);
  const absl::Status status = store.Append({writer_.Write("waits")}, {});
  EXPECT_TRUE(absl::IsUnavailable(status)) << status;
}

TEST_F(StoreTest, SaysThatItIsOfANewerRundlet) {
  {
    Store store = Create();
    ASSERT_TRUE(store.db().Exec("PRAGMA user_version=99").ok());
  }
  EXPECT_TRUE(absl::IsFailedPrecondition(Store::Open(home_).status()));
}

TEST_F(StoreTest, TellsADamagedEntryFromTheRest) {
  Store store = Create();
  const Uuid first = Save(store, "one");
  const Uuid second = Save(store, "two");
  Query damage(store.db(), "UPDATE entry SET bytes = zeroblob(length(bytes)) WHERE entry_id = ?");
  ASSERT_TRUE(damage.Bind(first.bytes()).Run().ok());
  EXPECT_FALSE(store.Find(first)->whole);
  EXPECT_TRUE(store.Find(second)->whole);
}

TEST_F(StoreTest, SaysThatTheFileIsNoDatabase) {
  Create();
  for (const char* suffix : {"-wal", "-shm"})
    ASSERT_TRUE(RemoveFile(home_.database() + suffix).ok());
  std::ofstream(home_.database()) << std::string(8192, 'x');
  const absl::Status status = Store::Open(home_).status();
  EXPECT_TRUE(absl::IsDataLoss(status)) << status;
  EXPECT_THAT(std::string(status.message()), HasSubstr("rundlet repair"));
}

TEST_F(StoreTest, TellsAnEmptiedStoreFromNone) {
  Create();
  ASSERT_TRUE(WritePrivateFile(home_.token(), "secret").ok());
  for (const char* suffix : {"-wal", "-shm"})
    ASSERT_TRUE(RemoveFile(home_.database() + suffix).ok());
  std::filesystem::resize_file(home_.database(), 0);
  EXPECT_TRUE(absl::IsDataLoss(Store::Open(home_).status()));
  ASSERT_TRUE(RemoveFile(home_.database()).ok());
  EXPECT_TRUE(absl::IsDataLoss(Store::Open(home_).status()));
}

TEST_F(StoreTest, KeepsSmallFactsByName) {
  Store store = Create();
  EXPECT_EQ(*store.Get(MetaKey::kLastSeq), 0);
  ASSERT_TRUE(store.Set(MetaKey::kLastSeq, 7).ok());
  ASSERT_TRUE(store.Set(MetaKey::kLastSeq, 8).ok());
  EXPECT_EQ(*store.Get(MetaKey::kLastSeq), 8);
}

TEST(FileLockTest, IsHeldByOne) {
  TempDir dir;
  const std::string path = dir.path() + "/lock";
  {
    const auto first = FileLock::Acquire(path, absl::ZeroDuration(), "busy");
    ASSERT_TRUE(first.ok());
    const absl::Status second = FileLock::Acquire(path, absl::ZeroDuration(), "busy").status();
    EXPECT_TRUE(absl::IsUnavailable(second));
    EXPECT_EQ(second.message(), "busy");
  }
  EXPECT_TRUE(FileLock::Acquire(path, absl::ZeroDuration(), "busy").ok());
}

}  // namespace
}  // namespace rundlet::client
