// Goal: every entry is in exactly one of outbox, recorded, returned, whatever the server says and
// in whatever order its rows come. Method: answers and pages made by hand, some of them wrong.
#include "client/store/sync_store.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using Kind = PushAnswer::Kind;

class SyncStoreTest : public ::testing::Test {
 protected:
  SyncStoreTest() : store_(*Store::Create(home_, TestDevice(1), 0)), sync_(store_) {}

  // Entries of this device, in the outbox.
  std::vector<WrittenEntry> Save(int count, size_t size = 10) {
    std::vector<WrittenEntry> entries;
    for (int i = 0; i < count; ++i) {
      const ChainHead before = mine_.head();
      entries.push_back(mine_.Write(std::string(size, 'n')));
      EXPECT_TRUE(store_.Append({entries.back()}, before).ok());
    }
    return entries;
  }
  std::vector<StoredEntry> Outbox(size_t entries = 1000, size_t bytes = 1 << 20) {
    int64_t damaged = 0;
    return *sync_.OutboxPage(0, entries, bytes, &damaged);
  }
  static Uuid IdOf(const WrittenEntry& entry) { return *Uuid::FromBytes(entry.entry.entry_id()); }
  EntryState StateOf(const WrittenEntry& entry) { return store_.Find(IdOf(entry))->state; }

  TempDir dir_;
  StoreHome home_{dir_.path()};
  Store store_;
  SyncStore sync_;
  NoteWriter mine_{TestDevice(1)};
  NoteWriter theirs_{TestDevice(2)};
};

TEST_F(SyncStoreTest, PagesHoldSoManyAndSoMuch) {
  Save(5, 1000);
  EXPECT_EQ(Outbox(3).size(), 3u);
  EXPECT_EQ(Outbox(1000, 2500).size(), 2u);
  EXPECT_EQ(Outbox(1000, 1).size(), 1u) << "one at least, or nothing would ever go";
  int64_t damaged = 0;
  EXPECT_EQ(sync_.OutboxPage(3, 1000, 1 << 20, &damaged)->size(), 2u);
}

TEST_F(SyncStoreTest, DamagedEntriesAreNotSent) {
  const auto entries = Save(3);
  ASSERT_TRUE(store_.db().Exec("UPDATE entry SET bytes = x'00' WHERE device_seq = 2").ok());
  int64_t damaged = 0;
  EXPECT_EQ(sync_.OutboxPage(0, 1000, 1 << 20, &damaged)->size(), 2u);
  EXPECT_EQ(damaged, 1);
}

TEST_F(SyncStoreTest, AnswersDecideTheState) {
  const auto entries = Save(3);
  const std::vector<PushAnswer> answers = {
      {.kind = Kind::kRecorded, .seq = 1},
      {.kind = Kind::kReturned, .reason = "NOT_ALLOWED", .message = "no"},
      {.kind = Kind::kNotYet}};
  ASSERT_TRUE(sync_.TakeAnswers(Outbox(), answers).ok());
  EXPECT_EQ(StateOf(entries[0]), EntryState::kRecorded);
  EXPECT_EQ(StateOf(entries[1]), EntryState::kReturned);
  EXPECT_EQ(StateOf(entries[2]), EntryState::kOutbox);
  EXPECT_EQ(store_.Find(IdOf(entries[1]))->message, "no");
  EXPECT_EQ(*store_.Get(MetaKey::kGeneration), 1) << "what was folded with it is stale";
}

TEST_F(SyncStoreTest, AnAnswerMissingDecidesNothing) {
  const auto entries = Save(2);
  EXPECT_FALSE(sync_.TakeAnswers(Outbox(), {{.kind = Kind::kRecorded, .seq = 1}}).ok());
  EXPECT_EQ(StateOf(entries[0]), EntryState::kOutbox);
}

TEST_F(SyncStoreTest, OwnEntriesComeBackAsThemselves) {
  const auto mine = Save(1);
  const WrittenEntry theirs = theirs_.Write("theirs");
  const auto counts = sync_.TakePage({{1, theirs.bytes}, {2, mine[0].bytes}}, 2);
  ASSERT_TRUE(counts.ok()) << counts.status();
  EXPECT_EQ(counts->fresh, 1);
  EXPECT_EQ(StateOf(mine[0]), EntryState::kRecorded);
  EXPECT_EQ(StateOf(theirs), EntryState::kRecorded);
  EXPECT_EQ(store_.Find(IdOf(theirs))->bytes, theirs.bytes);
  EXPECT_EQ(*store_.Get(MetaKey::kLastSeq), 2);
  EXPECT_THAT(IdsIn(store_, EntryState::kOutbox), IsEmpty());
}

TEST_F(SyncStoreTest, APageComesInWholeOrNotAtAll) {
  const WrittenEntry theirs = theirs_.Write("theirs");
  EXPECT_TRUE(absl::IsDataLoss(sync_.TakePage({{1, theirs.bytes}, {2, "no entry"}}, 2).status()));
  EXPECT_FALSE(store_.Find(IdOf(theirs)).ok());
  EXPECT_EQ(*store_.Get(MetaKey::kLastSeq), 0);
}

TEST_F(SyncStoreTest, TheSamePageTwiceChangesNothing) {
  const WrittenEntry theirs = theirs_.Write("theirs");
  ASSERT_TRUE(sync_.TakePage({{1, theirs.bytes}}, 1).ok());
  EXPECT_EQ(sync_.TakePage({{1, theirs.bytes}}, 1)->fresh, 0);
}

TEST_F(SyncStoreTest, AnotherEntryAtAKnownPlaceIsAnotherJournal) {
  ASSERT_TRUE(sync_.TakePage({{1, theirs_.Write("one").bytes}}, 1).ok());
  EXPECT_TRUE(
      absl::IsFailedPrecondition(sync_.TakePage({{1, theirs_.Write("two").bytes}}, 1).status()));
}

TEST_F(SyncStoreTest, OtherBytesForARecordedEntryAreRefusedForGood) {
  const WrittenEntry theirs = theirs_.Write("one");
  ASSERT_TRUE(sync_.TakePage({{1, theirs.bytes}}, 1).ok());
  v1::Entry changed = theirs.entry;
  changed.set_note("another story");
  ASSERT_TRUE(sync_.BeginRefetch().ok());
  EXPECT_TRUE(absl::IsDataLoss(sync_.TakePage({{1, changed.SerializeAsString()}}, 1).status()));
}

// A store that was copied, or put back from a backup, finds its own later entries in the journal.
TEST_F(SyncStoreTest, OwnEntriesThatAreMissingHereMoveTheChain) {
  NoteWriter twin(TestDevice(1));
  const WrittenEntry one = twin.Write("one");
  const WrittenEntry two = twin.Write("two");
  ASSERT_TRUE(sync_.TakePage({{1, one.bytes}, {2, two.bytes}}, 2).ok());
  const auto head = store_.Head();
  ASSERT_TRUE(head.ok());
  EXPECT_EQ(head->device_seq, 2u);
  EXPECT_EQ(head->hash, two.hash);
}

TEST_F(SyncStoreTest, AnEntryWhoseNumberIsTakenIsReturned) {
  NoteWriter twin(TestDevice(1));
  const auto mine = Save(1);
  const WrittenEntry first = twin.Write("written by the twin of this device");
  v1::Entry other = first.entry;
  other.set_entry_id(NumberedId(9, 9).ToBytes());
  const auto counts = sync_.TakePage({{1, other.SerializeAsString()}}, 1);
  ASSERT_TRUE(counts.ok()) << counts.status();
  EXPECT_EQ(counts->returned, 1);
  EXPECT_EQ(StateOf(mine[0]), EntryState::kReturned);
  EXPECT_THAT(IdsIn(store_, EntryState::kRecorded), ElementsAre(NumberedId(9, 9)));
}

TEST_F(SyncStoreTest, AnEntryWhoseIdIsTakenIsReturnedAndKeptBesideTheOther) {
  const auto mine = Save(1);
  v1::Entry other = theirs_.Write("theirs").entry;
  other.set_entry_id(mine[0].entry.entry_id());
  ASSERT_TRUE(sync_.TakePage({{1, other.SerializeAsString()}}, 1).ok());
  EXPECT_THAT(IdsIn(store_, EntryState::kReturned), ElementsAre(IdOf(mine[0])));
  EXPECT_EQ(store_.Find(IdOf(mine[0]))->bytes, other.SerializeAsString()) << "the one that counts";
}

TEST_F(SyncStoreTest, WhatWasReturnedAndIsInTheJournalAfterAllIsRecorded) {
  const auto mine = Save(1);
  ASSERT_TRUE(sync_
                  .TakeAnswers(Outbox(),
                               {{.kind = Kind::kReturned, .reason = "NOT_ALLOWED", .message = ""}})
                  .ok());
  ASSERT_TRUE(sync_.TakePage({{1, mine[0].bytes}}, 1).ok());
  EXPECT_EQ(StateOf(mine[0]), EntryState::kRecorded);
  EXPECT_THAT(IdsIn(store_, EntryState::kReturned), IsEmpty());
}

TEST_F(SyncStoreTest, DamagedEntriesAreMendedFromTheJournal) {
  const WrittenEntry theirs = theirs_.Write("theirs");
  ASSERT_TRUE(sync_.TakePage({{1, theirs.bytes}}, 1).ok());
  ASSERT_TRUE(store_.db().Exec("UPDATE entry SET bytes = x'00'").ok());
  ASSERT_TRUE(sync_.BeginRefetch().ok());
  EXPECT_EQ(sync_.TakePage({{1, theirs.bytes}}, 1)->mended, 1);
  ASSERT_TRUE(sync_.EndRefetch().ok());
  EXPECT_TRUE(store_.Find(IdOf(theirs))->whole);
}

TEST_F(SyncStoreTest, WhatTheServerLostGoesBackToTheOutboxOfWhoWroteIt) {
  const auto mine = Save(2);
  const WrittenEntry theirs = theirs_.Write("theirs");
  ASSERT_TRUE(sync_.TakePage({{1, mine[0].bytes}, {2, theirs.bytes}, {3, mine[1].bytes}}, 3).ok());
  EXPECT_EQ(*sync_.HighestRecordedOwn(), 2u);

  ASSERT_TRUE(sync_.BeginRefetch().ok());
  ASSERT_TRUE(sync_.TakePage({{1, mine[0].bytes}}, 1).ok());
  const auto lost = sync_.EndRefetch();
  ASSERT_TRUE(lost.ok());
  EXPECT_EQ(lost->own, 1);
  EXPECT_EQ(lost->others, 1);
  EXPECT_EQ(StateOf(mine[0]), EntryState::kRecorded);
  EXPECT_EQ(StateOf(mine[1]), EntryState::kOutbox);
  EXPECT_EQ(StateOf(theirs), EntryState::kRecorded) << "kept until its own device pushes it again";
  EXPECT_EQ(store_.Count()->unplaced, 1);
  EXPECT_EQ(*sync_.HighestRecordedOwn(), 1u);
}

}  // namespace
}  // namespace rundlet::client
