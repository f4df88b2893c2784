// Goal: a book that becomes another device's, or another cellar's, loses no entry and changes none:
// ids, bodies, times and notes stay, amendments stay with what they amend, the chain is whole; and
// a kill or a fault of the disk at any point leaves the old book or the new one. Method: books of
// notes, rewritten with every operation of the disk failing or being the last one, in turn.
#include "client/store/rewrite_outbox.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include "client/testing/entries.h"
#include "client/testing/faulty_disk.h"
#include "client/testing/test_cellar.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using Fault = FaultyDisk::Fault;

constexpr int kNotes = 5;

// The device that the book becomes: of another cellar and member.
Device Newcomer() {
  Device device = TestDevice(7);
  device.cellar_id = NumberedId(1, 2);
  device.cellar_name = "Thistledown Upper Cellar";
  device.server = "127.0.0.1:7117";
  return device;
}

class RewriteOutboxTest : public ::testing::Test {
 protected:
  // Makes a book of notes, the last of them in the place of the second.
  void MakeBook(const StoreHome& home) {
    auto store = Store::Create(home, TestDevice(1), 0);
    ASSERT_TRUE(store.ok()) << store.status();
    NoteWriter writer(TestDevice(1));
    std::vector<WrittenEntry> notes;
    for (int i = 0; i < kNotes; ++i) notes.push_back(writer.Write("note"));
    ASSERT_TRUE(store->Append(notes, ChainHead()).ok());
    v1::Entry amending = notes[1].entry;
    amending.mutable_amendment()->set_target_id(notes[1].entry.entry_id());
    amending.mutable_amendment()->set_place_device_id(notes[1].entry.device_id());
    amending.mutable_amendment()->set_place_device_seq(2);
    amending.mutable_amendment()->set_reason("a slip");
    ChainHead head = writer.head();
    const auto amended =
        WriteEntry(TestDevice(1).writer(), NumberedId(90, 1), std::move(amending), head);
    ASSERT_TRUE(amended.ok()) << amended.status();
    ASSERT_TRUE(store->Append({*amended}, writer.head()).ok());
    before_ = Entries(home);
  }

  static std::vector<v1::Entry> Entries(const StoreHome& home) {
    std::vector<v1::Entry> entries;
    auto store = Store::Open(home);
    EXPECT_TRUE(store.ok()) << store.status();
    EXPECT_TRUE(store
                    ->ForEach(0,
                              [&](const StoredEntry& stored) {
                                EXPECT_TRUE(stored.whole);
                                entries.push_back(*ParseEntry(stored.bytes));
                                return absl::OkStatus();
                              })
                    .ok());
    return entries;
  }

  static Rewriting ToNewcomer() {
    v1::Entry note;
    note.set_effective_at_us(1'772'442'000'000'000);
    note.set_written_at_us(1'772'442'000'000'000);
    note.set_note("first");
    note.mutable_observation()->set_subject_id(Newcomer().member_id.ToBytes());
    return {.device = Newcomer(), .journal = {}, .first = {{NumberedId(91, 1), note}}, .last = {}};
  }

  // The book is the newcomer's, with all that was in it, and its chain is whole.
  void ExpectNewBook(const StoreHome& home) const {
    const std::vector<v1::Entry> after = Entries(home);
    ASSERT_EQ(after.size(), before_.size() + 1);
    Sha256 sha;
    std::string previous;
    for (size_t i = 0; i < after.size(); ++i) {
      EXPECT_EQ(after[i].cellar_id(), Newcomer().cellar_id.bytes());
      EXPECT_EQ(after[i].author_id(), Newcomer().member_id.bytes());
      EXPECT_EQ(after[i].device_id(), Newcomer().device_id.bytes());
      EXPECT_EQ(after[i].device_seq(), i + 1);
      EXPECT_EQ(after[i].previous_hash(), previous);
      auto store = Store::Open(home);
      previous = std::string(HashBytes(store->Find(*Uuid::FromBytes(after[i].entry_id()))->hash));
      if (i == 0) continue;
      const v1::Entry& old = before_[i - 1];
      EXPECT_EQ(after[i].entry_id(), old.entry_id());
      EXPECT_EQ(after[i].effective_at_us(), old.effective_at_us());
      EXPECT_EQ(after[i].written_at_us(), old.written_at_us());
      EXPECT_EQ(after[i].note(), old.note());
      EXPECT_EQ(after[i].observation().SerializeAsString(), old.observation().SerializeAsString());
    }
    EXPECT_EQ(after.back().amendment().place_device_id(), Newcomer().device_id.bytes());
    EXPECT_EQ(after.back().amendment().place_device_seq(), 3u) << "behind the first, as before";
    auto store = Store::Open(home);
    EXPECT_EQ(store->Head()->device_seq, after.size());
    EXPECT_EQ(store->device().cellar_name, "Thistledown Upper Cellar");
  }

  std::vector<v1::Entry> before_;
};

TEST_F(RewriteOutboxTest, ALocalBookBecomesThatOfTheCellarItJoins) {
  TempDir dir;
  const StoreHome home(dir.path());
  MakeBook(home);
  const auto counts = RewriteOutbox(home, ToNewcomer());
  ASSERT_TRUE(counts.ok()) << counts.status();
  EXPECT_EQ(counts->rewritten, kNotes + 1);
  ExpectNewBook(home);
  EXPECT_GT(*Store::Open(home)->Get(MetaKey::kGeneration), 0) << "what was folded is stale";
}

TEST_F(RewriteOutboxTest, WhatTheJournalHasLeavesTheOutbox) {
  TempDir dir;
  const StoreHome home(dir.path());
  MakeBook(home);
  Rewriting rewriting = ToNewcomer();
  rewriting.first.clear();
  const Place there{.device_id = NumberedId(3, 9), .device_seq = 44};
  rewriting.journal.entries[*Uuid::FromBytes(before_[1].entry_id())] = there;
  rewriting.journal.own = {.device_seq = 10, .hash = {1, 2, 3}};
  const auto counts = RewriteOutbox(home, rewriting);
  ASSERT_TRUE(counts.ok()) << counts.status();
  EXPECT_EQ(counts->in_journal, 1);
  const std::vector<v1::Entry> after = Entries(home);
  ASSERT_EQ(after.size(), before_.size() - 1);
  EXPECT_EQ(after[0].device_seq(), 11u) << "behind what the journal has of this device";
  EXPECT_EQ(after[0].previous_hash(), HashBytes(rewriting.journal.own.hash));
  EXPECT_EQ(after.back().amendment().place_device_id(), there.device_id.bytes());
  EXPECT_EQ(after.back().amendment().place_device_seq(), 44u);
}

TEST_F(RewriteOutboxTest, ABookOfAnotherCellarStaysWhatItIs) {
  TempDir dir;
  const StoreHome home(dir.path());
  MakeBook(home);
  {
    auto store = Store::Open(home);
    ASSERT_TRUE(
        store->db().Exec("UPDATE entry SET state = 'recorded', seq = 1 WHERE device_seq = 1").ok());
  }
  const auto counts = RewriteOutbox(home, ToNewcomer());
  EXPECT_EQ(counts.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(counts.status().message()), HasSubstr("RUNDLET_HOME="));
  EXPECT_EQ(Entries(home).size(), before_.size());
  EXPECT_EQ(Store::Open(home)->device().cellar_id, TestDevice(1).cellar_id);
}

TEST_F(RewriteOutboxTest, ANewDeviceOfTheSameCellarKeepsItsJournalAndItsReturns) {
  TempDir dir;
  const StoreHome home(dir.path());
  MakeBook(home);
  {
    auto store = Store::Open(home);
    ASSERT_TRUE(store->db()
                    .Exec("UPDATE entry SET state = 'recorded', seq = 1 WHERE device_seq = 1; "
                          "UPDATE entry SET state = 'returned', reason = 'NOT_ALLOWED' WHERE "
                          "device_seq = 4")
                    .ok());
  }
  Rewriting rewriting = ToNewcomer();
  rewriting.first.clear();
  rewriting.device.cellar_id = TestDevice(1).cellar_id;
  ASSERT_TRUE(RewriteOutbox(home, rewriting).ok());
  auto store = Store::Open(home);
  EXPECT_THAT(IdsIn(*store, EntryState::kRecorded),
              ElementsAre(*Uuid::FromBytes(before_[0].entry_id())));
  EXPECT_THAT(IdsIn(*store, EntryState::kReturned),
              ElementsAre(*Uuid::FromBytes(before_[3].entry_id())));
  const auto waits = IdsIn(*store, EntryState::kOutbox);
  EXPECT_EQ(waits.size(), before_.size() - 2);
  EXPECT_EQ(store->Find(waits[0])->device_seq, 1u) << "a chain of its own";
}

// The old book is there or the new one.
void ExpectEither(const StoreHome& home, const std::function<void()>& expect_new,
                  const std::vector<v1::Entry>& old, const std::vector<v1::Entry>& now) {
  if (Store::Open(home)->device().device_id == Newcomer().device_id) {
    expect_new();
    return;
  }
  ASSERT_EQ(now.size(), old.size());
  for (size_t i = 0; i < now.size(); ++i)
    EXPECT_EQ(now[i].SerializeAsString(), old[i].SerializeAsString());
}

TEST_F(RewriteOutboxTest, AKillOrAFaultLeavesTheOldBookOrTheNew) {
  FaultyDisk disk;
  int operations = 0;
  {
    TempDir dir;
    const StoreHome home(dir.path());
    MakeBook(home);
    disk.FailAt(0, Fault::kNone);
    ASSERT_TRUE(RewriteOutbox(home, ToNewcomer()).ok());
    operations = disk.operations();
  }
  ASSERT_GT(operations, 2);
  for (const Fault fault : {Fault::kKill, Fault::kIoError, Fault::kFull, Fault::kShortWrite}) {
    for (int at = 1; at <= operations; ++at) {
      SCOPED_TRACE(::testing::Message() << "fault " << static_cast<int>(fault) << " at " << at);
      TempDir dir;
      const StoreHome home(dir.path());
      disk.FailAt(0, Fault::kNone);
      MakeBook(home);
      const pid_t child = fork();
      if (child == 0) {
        disk.FailAt(at, fault);
        _exit(RewriteOutbox(home, ToNewcomer()).ok() ? 0 : 1);
      }
      int status = 0;
      ASSERT_EQ(waitpid(child, &status, 0), child);
      if (WIFEXITED(status) && WEXITSTATUS(status) == 0) {
        ExpectNewBook(home);
        continue;
      }
      ExpectEither(
          home, [&] { ExpectNewBook(home); }, before_, Entries(home));
    }
  }
}

}  // namespace
}  // namespace rundlet::client
