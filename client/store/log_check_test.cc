// Goal: what was saved does not go without a word when the disk damages the write-ahead log or cuts
// it off; an end that a kill or a power cut tore off is no damage; and looking harms nobody else at
// work on the book. Method: a store whose log has several rounds behind it; one bit flipped at
// places all over the log; the log cut off at places in its last transaction, or without its
// beginning; a second process.
#include "client/store/log_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <random>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/store/last_saved.h"
#include "client/store/salvage.h"
#include "client/store/store.h"
#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

constexpr size_t kFrameBytes = 24 + 4096;

class LogCheckTest : public ::testing::Test {
 protected:
  void SetUp() override {
    Store store = *Store::Create(home_, TestDevice(1), 0);
    Save(store, 30);
    // The log begins a new round, with frames of the old one behind its end.
    ASSERT_TRUE(store.db().Exec("PRAGMA wal_checkpoint(RESTART)").ok());
    Save(store, 4);
  }
  void Save(Store& store, int count) {
    for (int i = 0; i < count; ++i) {
      const ChainHead before = writer_.head();
      ASSERT_TRUE(store.Append({writer_.Write(std::string(3000, 'n'))}, before).ok());
      ++saved_;
    }
  }
  std::string LogPath() const { return home_.database() + "-wal"; }
  // As a process finds it that comes first.
  void PutLog(const std::string& log) {
    std::ofstream(LogPath(), std::ios::binary | std::ios::trunc) << log;
    ASSERT_TRUE(RemoveFile(home_.database() + "-shm").ok());
  }
  // Where the last transaction of this round ends.
  static size_t EndOf(const std::string& log) {
    size_t at = 32;
    while (at + kFrameBytes <= log.size() && log.compare(at + 8, 8, log, 16, 8) == 0)
      at += kFrameBytes;
    return at;
  }
  static int64_t CountIn(Store& store) {
    return static_cast<int64_t>(IdsIn(store, EntryState::kOutbox).size());
  }

  TempDir dir_;
  StoreHome home_{dir_.path()};
  NoteWriter writer_{TestDevice(1)};
  int64_t saved_ = 0;
};

TEST_F(LogCheckTest, ASoundLogIsLeftAlone) {
  auto store = Store::Open(home_);
  ASSERT_TRUE(store.ok()) << store.status();
  EXPECT_EQ(CountIn(*store), saved_);
  const std::string log = *ReadFile(LogPath());
  ASSERT_LT(EndOf(log), log.size()) << "frames of the round before are there";
}

TEST_F(LogCheckTest, AFlippedBitIsToldAndCostsNoOtherEntry) {
  const std::string sound = *ReadFile(LogPath());
  const std::string file = *ReadFile(home_.database());
  const auto seed = static_cast<unsigned>(::testing::UnitTest::GetInstance()->random_seed()) + 1;
  SCOPED_TRACE(absl::StrCat("seed ", seed));
  std::mt19937 random(seed);
  const size_t end = EndOf(sound);
  for (int round = 0; round < 60; ++round) {
    // The head of the log and of its frames as often as what they carry.
    size_t at = random() % end;
    if (round % 3 == 0) at = random() % 32;
    if (round % 3 == 1)
      at = 32 + random() % ((end - 32) / kFrameBytes) * kFrameBytes + random() % 24;
    SCOPED_TRACE(absl::StrCat("byte ", at, " of ", end));
    std::string log = sound;
    log[at] ^= static_cast<char>(1 << random() % 8);
    PutLog(log);
    WriteLastSaved(home_, TestDevice(1).device_id, static_cast<uint64_t>(saved_));
    const auto opened = Store::Open(home_);
    EXPECT_TRUE(absl::IsDataLoss(opened.status())) << opened.status();
    ASSERT_TRUE(SalvageStore(home_, round).ok());
    auto saved = Store::Open(home_);
    ASSERT_TRUE(saved.ok()) << saved.status();
    // One page is lost at most; entries of this size have one each.
    EXPECT_GE(CountIn(*saved), saved_ - 1);
    saved = absl::UnknownError("closed");
    for (const char* suffix : {"-wal", "-shm"})
      ASSERT_TRUE(RemoveFile(home_.database() + suffix).ok());
    std::ofstream(home_.database(), std::ios::binary | std::ios::trunc) << file;
  }
}

TEST_F(LogCheckTest, AnEndThatWasCutOffIsTold) {
  const std::string sound = *ReadFile(LogPath());
  for (const size_t left : {size_t{0}, size_t{32}, EndOf(sound) - kFrameBytes}) {
    PutLog(sound.substr(0, left));
    const auto opened = Store::Open(home_);
    EXPECT_TRUE(absl::IsDataLoss(opened.status())) << opened.status();
    EXPECT_THAT(std::string(opened.status().message()), ::testing::HasSubstr("rundlet repair"));
  }
}

// A power cut leaves the pages of a transaction that was under way on the disk in any order: its
// end, and not its beginning.
TEST_F(LogCheckTest, AnEndWithoutItsBeginningIsNoDamage) {
  const std::string sound = *ReadFile(LogPath());
  const size_t end = EndOf(sound);
  ASSERT_TRUE(ForgetLastSaved(home_).ok());
  size_t first = end - kFrameBytes;  // of the last transaction: behind the end of the one before
  while (sound.compare(first - kFrameBytes + 4, 4, std::string(4, '\0')) == 0) first -= kFrameBytes;
  ASSERT_LT(first, end - kFrameBytes) << "the last transaction has several frames";
  std::string log = sound;
  log.replace(first, kFrameBytes, kFrameBytes, '\0');
  PutLog(log);
  auto store = Store::Open(home_);
  ASSERT_TRUE(store.ok()) << store.status();
  EXPECT_EQ(CountIn(*store), saved_ - 1) << "the last was not done";
}

// One process is in the middle of saving while another opens the book and closes it: the first has
// its locks still, and comes to its end.
TEST_F(LogCheckTest, ASecondProgramLeavesOneAtWorkAlone) {
  int begun[2], seen[2];
  ASSERT_EQ(pipe(begun), 0);
  ASSERT_EQ(pipe(seen), 0);
  const pid_t child = fork();
  ASSERT_GE(child, 0);
  char byte = 'x';
  if (child == 0) {
    auto store = Store::Open(home_);
    if (!store.ok()) _exit(2);
    auto transaction = Transaction::Begin(store->db());
    if (!transaction.ok() || !store->db().Exec("UPDATE device SET device_name = 'phone'").ok())
      _exit(3);
    if (write(begun[1], &byte, 1) != 1 || read(seen[0], &byte, 1) != 1) _exit(4);
    if (!store->db().Exec("UPDATE device SET device_name = 'tablet'").ok()) _exit(5);
    _exit(transaction->Commit().ok() ? 0 : 6);
  }
  ASSERT_EQ(read(begun[0], &byte, 1), 1);
  {
    auto store = Store::Open(home_);
    ASSERT_TRUE(store.ok()) << store.status();
    EXPECT_EQ(CountIn(*store), saved_);
  }
  ASSERT_EQ(write(seen[1], &byte, 1), 1);
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  EXPECT_TRUE(WIFEXITED(status)) << "ended by signal " << WTERMSIG(status);
  EXPECT_EQ(WEXITSTATUS(status), 0);
}

// As where the program was killed before it could say that the last one was saved.
TEST_F(LogCheckTest, AnEndThatWasTornOffIsNoDamage) {
  const std::string sound = *ReadFile(LogPath());
  const size_t end = EndOf(sound);
  ASSERT_TRUE(ForgetLastSaved(home_).ok());
  for (const size_t less : {size_t{1}, size_t{23}, size_t{4096}, kFrameBytes}) {
    PutLog(sound.substr(0, end - less));
    auto store = Store::Open(home_);
    ASSERT_TRUE(store.ok()) << store.status();
    EXPECT_EQ(CountIn(*store), saved_ - 1) << "the last was not done";
  }
}

}  // namespace
}  // namespace rundlet::client
