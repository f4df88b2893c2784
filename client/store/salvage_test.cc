// Goal: whatever became of the file, every entry that is whole in it is saved, and nothing else.
// Method: stores with entries from a few bytes to many pages, then damaged: header overwritten, cut
// off, bits flipped at random places (the seed is printed). What is saved is compared with what was
// written.
#include "client/store/salvage.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <random>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/store/store.h"
#include "client/store/sync_store.h"
#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::HasSubstr;

class SalvageTest : public ::testing::Test {
 protected:
  // Own entries in the outbox, recorded and returned, and those of another device.
  void Fill() {
    Store store = *Store::Create(home_, TestDevice(1), 0);
    NoteWriter mine(TestDevice(1)), theirs(TestDevice(2));
    std::vector<PulledRow> rows;
    for (int i = 0; i < 60; ++i) {
      const WrittenEntry other = theirs.Write(std::string(static_cast<size_t>(i * 40), 't'));
      rows.push_back({static_cast<uint64_t>(i) + 1, other.bytes});
      written_[other.entry.entry_id()] = other.bytes;
    }
    ASSERT_TRUE(SyncStore(store).TakePage(rows, rows.size()).ok());
    for (int i = 0; i < 40; ++i) {
      const ChainHead before = mine.head();
      // Some go over several pages of the file.
      const WrittenEntry own = mine.Write(std::string(i % 5 == 0 ? 20'000 : 100, 'm'));
      ASSERT_TRUE(store.Append({own}, before).ok());
      written_[own.entry.entry_id()] = own.bytes;
    }
    int64_t damaged = 0;
    const auto page = *SyncStore(store).OutboxPage(0, 2, 1 << 20, &damaged);
    ASSERT_TRUE(SyncStore(store)
                    .TakeAnswers(page, {{.kind = PushAnswer::Kind::kRecorded, .seq = 61},
                                        {.kind = PushAnswer::Kind::kReturned,
                                         .reason = "NOT_ALLOWED",
                                         .message = "no"}})
                    .ok());
    // Part of it stays in the log: the pages there count more than those of the file.
    ASSERT_TRUE(store.db().Exec("PRAGMA wal_checkpoint(PASSIVE)").ok());
    const ChainHead before = mine.head();
    const WrittenEntry last = mine.Write("the last");
    ASSERT_TRUE(store.Append({last}, before).ok());
    written_[last.entry.entry_id()] = last.bytes;
    ASSERT_TRUE(WritePrivateFile(home_.token(), "secret").ok());
  }

  std::string File() { return *ReadFile(home_.database()); }
  void Overwrite(const std::string& content) {
    std::ofstream(home_.database(), std::ios::binary) << content;
  }

  // Every saved entry is one that was written, byte for byte. Returns how many there are.
  size_t CheckSaved() {
    auto store = Store::Open(home_);
    EXPECT_TRUE(store.ok()) << store.status();
    size_t count = 0;
    const absl::Status status = store->ForEach(0, [&](const StoredEntry& entry) {
      EXPECT_TRUE(entry.whole);
      EXPECT_EQ(entry.bytes, written_[entry.id.ToBytes()]);
      ++count;
      return absl::OkStatus();
    });
    EXPECT_TRUE(status.ok()) << status;
    EXPECT_EQ(*store->Get(MetaKey::kRefetching), 1);
    return count;
  }

  TempDir dir_;
  StoreHome home_{dir_.path() + "/book"};
  std::map<std::string, std::string> written_;
};

TEST_F(SalvageTest, NothingIsLostOfASoundFile) {
  Fill();
  const auto salvaged = SalvageStore(home_, 0);
  ASSERT_TRUE(salvaged.ok()) << salvaged.status();
  EXPECT_EQ(CheckSaved(), written_.size());
  EXPECT_EQ(salvaged->recorded, 61);
  EXPECT_EQ(salvaged->returned, 1);
  EXPECT_EQ(salvaged->outbox, 39);
  EXPECT_TRUE(salvaged->device_known);
  Store store = *Store::Open(home_);
  EXPECT_EQ(store.device().member_name, "Member 1");
  EXPECT_EQ(store.Head()->device_seq, 41u);
}

TEST_F(SalvageTest, AFileWhoseHeaderIsGoneStillGivesItsEntries) {
  Fill();
  std::string file = File();
  file.replace(0, 100, 100, '\0');
  Overwrite(file);
  ASSERT_TRUE(RemoveFile(home_.database() + "-wal").ok());
  EXPECT_TRUE(absl::IsDataLoss(Store::Open(home_).status()));
  const auto salvaged = SalvageStore(home_, 0);
  ASSERT_TRUE(salvaged.ok()) << salvaged.status();
  EXPECT_EQ(CheckSaved(), written_.size() - 1) << "all but the one that was in the log";
  EXPECT_TRUE(FileExists(salvaged->kept_as));
}

TEST_F(SalvageTest, AFileCutOffGivesWhatIsLeft) {
  Fill();
  const std::string file = File();
  Overwrite(file.substr(0, file.size() / 2));
  ASSERT_TRUE(RemoveFile(home_.database() + "-wal").ok());
  ASSERT_TRUE(SalvageStore(home_, 0).ok());
  const size_t saved = CheckSaved();
  EXPECT_GT(saved, 10u);
  EXPECT_LT(saved, written_.size());
}

TEST_F(SalvageTest, RandomDamageLosesNoMoreThanItHits) {
  Fill();
  {
    Store store = *Store::Open(home_);
    ASSERT_TRUE(store.db().Exec("PRAGMA wal_checkpoint(TRUNCATE)").ok());
  }
  const std::string sound = File();
  const auto seed = static_cast<unsigned>(::testing::UnitTest::GetInstance()->random_seed()) + 1;
  SCOPED_TRACE(absl::StrCat("seed ", seed));
  std::mt19937 random(seed);
  for (int round = 0; round < 30; ++round) {
    SCOPED_TRACE(absl::StrCat("round ", round));
    std::string file = sound;
    const int hits = 1 + static_cast<int>(random() % 8);
    for (int i = 0; i < hits; ++i)
      file[random() % file.size()] ^= static_cast<char>(1 << random() % 8);
    Overwrite(file);
    ASSERT_TRUE(RemoveFile(home_.database() + "-wal").ok());
    ASSERT_TRUE(RemoveFile(home_.database() + "-shm").ok());
    ASSERT_TRUE(SalvageStore(home_, round).ok());
    // A hit costs one entry, or, in a page's head, the entries of that page: at most a few dozen of
    // the small ones.
    EXPECT_GE(CheckSaved() + static_cast<size_t>(hits) * 40, written_.size());
  }
}

TEST_F(SalvageTest, NothingToSaveIsSaidAndLeftAlone) {
  Fill();
  Overwrite(std::string(20'000, 'x'));
  ASSERT_TRUE(RemoveFile(home_.database() + "-wal").ok());
  EXPECT_TRUE(absl::IsFailedPrecondition(SalvageStore(home_, 0).status()));
  EXPECT_EQ(File(), std::string(20'000, 'x'));
}

TEST(RepairCommandTest, LeavesASoundBookAlone) {
  TestCellar cellar;
  cellar.Do("vessel new C1");
  EXPECT_THAT(cellar.Do("repair").out, HasSubstr("sound"));
}

TEST(RepairCommandTest, LeavesABookOfANewerRundletAlone) {
  TestCellar cellar;
  cellar.Do("vessel new C1");
  ASSERT_TRUE(cellar.OpenStore().db().Exec("PRAGMA user_version=99").ok());
  const auto repair = cellar.Run("repair");
  EXPECT_NE(repair.exit_code, 0);
  EXPECT_THAT(repair.err, HasSubstr("newer Rundlet"));
  auto db = Db::Open(cellar.home().database(), /*create=*/false);
  ASSERT_TRUE(db.ok()) << db.status();
  Query version(*db, "PRAGMA user_version");
  ASSERT_TRUE(version.Next());
  EXPECT_EQ(version.Int(0), 99);
}

TEST(RepairCommandTest, MakesABookOfTheRest) {
  TestCellar cellar;
  cellar.Do("vessel new C1 C2 C3");
  {
    Store store = cellar.OpenStore();
    ASSERT_TRUE(store.db().Exec("UPDATE entry SET bytes = x'00' WHERE device_seq = 3").ok());
  }
  const auto board = cellar.Do("board");
  EXPECT_THAT(board.out, HasSubstr("C2"));
  EXPECT_THAT(board.err, HasSubstr("damaged: entry "));
  EXPECT_THAT(cellar.Do("repair").out, HasSubstr("saved 2 entries that were not synced yet"));
  const auto after = cellar.Do("board");
  EXPECT_THAT(after.out, HasSubstr("C2"));
  EXPECT_EQ(after.err, "");
}

}  // namespace
}  // namespace rundlet::client
