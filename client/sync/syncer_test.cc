// Goal: however a sync is cut off, and whatever the server has lost, the next ones bring every
// device and the server to the same set of entries, and what was saved is never gone. Method:
// devices with real stores and commands against a journal in memory that keeps the server's rules;
// calls fail before or after they are done; the journal is cut back as by a restore.
#include "client/sync/syncer.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/entries.h"
#include "client/testing/fake_server.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class SyncerTest : public ::testing::Test {
 protected:
  absl::Status Sync(TestCellar& cellar, FakeServer& server, SyncResult* result = nullptr,
                    bool repair = false) {
    Store store = cellar.OpenStore();
    SyncResult own;
    return Syncer(store, server).Run(repair, now_us_, result == nullptr ? own : *result);
  }
  void MustSync(TestCellar& cellar, FakeServer& server) {
    const absl::Status status = Sync(cellar, server);
    EXPECT_TRUE(status.ok()) << status;
  }
  StoreCounts Count(TestCellar& cellar) { return *cellar.OpenStore().Count(); }
  std::string Digest(TestCellar& cellar) { return cellar.Do("digest").out; }

  int64_t now_us_ = 1;
  FakeJournal journal_;
  TestCellar one_{1}, two_{2};
  FakeServer server_one_{journal_, TestDevice(1)};
  FakeServer server_two_{journal_, TestDevice(2)};
};

TEST_F(SyncerTest, TwoDevicesComeToTheSameBook) {
  one_.Do("vessel new C1 C2 --capacity 23L");
  one_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  two_.Do("rack C1 C2 --lees 0.7L");
  one_.Do("read C1 1.045");
  MustSync(two_, server_two_);
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  EXPECT_EQ(Digest(one_), Digest(two_));
  EXPECT_EQ(Count(one_).outbox, 0);
  EXPECT_EQ(Count(one_).recorded, static_cast<int64_t>(journal_.entries.size()));
}

TEST_F(SyncerTest, WhateverCallFailsTheNextSyncGoesOn) {
  for (const bool after_doing : {false, true}) {
    for (int call = 1; call <= 5; ++call) {
      SCOPED_TRACE(call);
      one_.Do("vessel new V" + std::to_string(call) + (after_doing ? "a" : "b"));
      const int64_t before = Count(one_).outbox + Count(one_).recorded;
      server_one_.FailAt(call, absl::UnavailableError("cut off"), after_doing);
      Sync(one_, server_one_).IgnoreError();
      EXPECT_EQ(Count(one_).outbox + Count(one_).recorded, before) << "nothing gone, nothing twice";
      server_one_.FailAt(0, absl::OkStatus());
      MustSync(one_, server_one_);
      EXPECT_EQ(Count(one_).outbox, 0);
      EXPECT_EQ(Count(one_).returned, 0);
    }
  }
  EXPECT_EQ(journal_.entries.size(), 10u);
}

TEST_F(SyncerTest, LongJournalsComePageByPage) {
  for (int i = 0; i < 5; ++i)
    one_.Do("vessel new A" + std::to_string(i) + " B" + std::to_string(i));
  MustSync(one_, server_one_);
  server_two_.set_page_size(3);
  server_two_.FailAt(3, absl::UnavailableError("cut off after the first page"));
  EXPECT_TRUE(absl::IsUnavailable(Sync(two_, server_two_)));
  EXPECT_EQ(Count(two_).recorded, 3);
  server_two_.FailAt(0, absl::OkStatus());
  MustSync(two_, server_two_);
  EXPECT_EQ(Digest(one_), Digest(two_));
}

TEST_F(SyncerTest, TheServerIsToldForHowLongTheOldestEntryWaits) {
  one_.Do("vessel new C1");
  one_.Do("vessel new C2");
  MustSync(one_, server_one_);
  EXPECT_EQ(server_one_.oldest_waiting_us(), 0) << "all is handed in before it is told";
  one_.Do("vessel new C3");
  v1::Entry waiting;
  int64_t damaged = 0;
  Store store = one_.OpenStore();
  const auto page = *SyncStore(store).OutboxPage(0, 1, 1 << 20, &damaged);
  ASSERT_TRUE(waiting.ParseFromString(page.front().bytes));
  now_us_ = waiting.written_at_us() + 3'600'000'000;
  journal_.judge = [](const v1::Entry&) { return PushAnswer::Kind::kNotYet; };
  MustSync(one_, server_one_);
  EXPECT_EQ(server_one_.oldest_waiting_us(), 3'600'000'000);
}

TEST_F(SyncerTest, AnotherCellarsTokenSendsNothing) {
  one_.Do("vessel new C1");
  server_one_.device().cellar_id = NumberedId(1, 2);
  const absl::Status status = Sync(one_, server_one_);
  EXPECT_TRUE(absl::IsFailedPrecondition(status));
  EXPECT_THAT(std::string(status.message()), HasSubstr("nothing was sent"));
  EXPECT_EQ(server_one_.pushed_entries(), 0);
  EXPECT_EQ(Count(one_).outbox, 1);
}

TEST_F(SyncerTest, AnotherDevicesTokenSendsNothing) {
  one_.Do("vessel new C1");
  EXPECT_TRUE(absl::IsFailedPrecondition(Sync(one_, server_two_)));
  EXPECT_EQ(server_two_.pushed_entries(), 0);
}

TEST_F(SyncerTest, ARefusedTokenLosesNothing) {
  one_.Do("vessel new C1 C2");
  server_one_.FailAt(1, absl::UnauthenticatedError("revoked"));
  EXPECT_TRUE(absl::IsUnauthenticated(Sync(one_, server_one_)));
  EXPECT_EQ(Count(one_).outbox, 2);
}

TEST_F(SyncerTest, OneBadEntryDoesNotStopTheOthers) {
  one_.Do("vessel new C1 Bad C2");
  journal_.judge = [](const v1::Entry& entry) {
    return entry.registered().vessel().name() == "Bad" ? PushAnswer::Kind::kReturned
                                                       : PushAnswer::Kind::kRecorded;
  };
  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result).ok());
  EXPECT_EQ(result.sent, 2);
  EXPECT_EQ(result.returned, 1);
  EXPECT_THAT(one_.Do("held").out, HasSubstr("returned by the server: not allowed"));
  EXPECT_THAT(one_.Do("vessel list").out, ::testing::Not(HasSubstr("Bad")))
      << "without effect here as there";
  MustSync(two_, server_two_);
  EXPECT_EQ(Digest(one_), Digest(two_));
}

TEST_F(SyncerTest, WhatTheServerIsTooOldForWaits) {
  one_.Do("vessel new C1 C2");
  journal_.judge = [](const v1::Entry&) { return PushAnswer::Kind::kNotYet; };
  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result).ok());
  EXPECT_EQ(result.not_yet, 2);
  EXPECT_EQ(Count(one_).outbox, 2);
  journal_.judge = nullptr;
  MustSync(one_, server_one_);
  EXPECT_EQ(Count(one_).outbox, 0);
}

TEST_F(SyncerTest, ARestoredServerGetsBackWhatItLost) {
  one_.Do("vessel new C1 C2");
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  const std::vector<std::string> backup = journal_.entries;
  one_.Do("vessel new C3");
  two_.Do("vessel new T1");
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  MustSync(one_, server_one_);
  one_.Do("vessel new C4");

  journal_.entries = backup;
  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result).ok());
  EXPECT_THAT(result.alarms, ElementsAre(HasSubstr("lost 1 entries of this device"),
                                         HasSubstr("lost 1 entries of other"),
                                         HasSubstr("does not begin any more with the 4 entries")));
  EXPECT_EQ(result.sent, 2) << "the lost one, then the new one that names it";
  EXPECT_EQ(Count(one_).returned, 0);
  EXPECT_EQ(Count(one_).unplaced, 1);
  MustSync(two_, server_two_);
  SyncResult second;
  ASSERT_TRUE(Sync(one_, server_one_, &second).ok());
  EXPECT_THAT(second.alarms, IsEmpty());
  EXPECT_EQ(Count(one_).unplaced, 0);
  MustSync(two_, server_two_);
  EXPECT_EQ(journal_.entries.size(), 5u);
  EXPECT_EQ(Digest(one_), Digest(two_));
}

// The restored server has taken in other entries since, so that it is as long as before.
TEST_F(SyncerTest, ARestoredServerThatGrewAgainIsFoundOut) {
  one_.Do("vessel new C1");
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  one_.Do("vessel new C2");
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  journal_.entries.pop_back();
  two_.Do("vessel new T1 T2");
  SyncResult result;
  ASSERT_TRUE(Sync(two_, server_two_, &result).ok());
  EXPECT_THAT(result.alarms, ElementsAre(HasSubstr("entries of other devices"),
                                         HasSubstr("does not begin any more")));
  MustSync(one_, server_one_);
  MustSync(two_, server_two_);
  MustSync(one_, server_one_);
  EXPECT_EQ(journal_.entries.size(), 4u);
  EXPECT_EQ(Digest(one_), Digest(two_));
}

TEST_F(SyncerTest, ARefetchThatIsCutOffGoesOn) {
  one_.Do("vessel new C1 C2 C3 C4");
  MustSync(one_, server_one_);
  journal_.entries.resize(2);
  server_one_.set_page_size(1);
  server_one_.FailAt(3, absl::UnavailableError("cut off in the refetch"));
  EXPECT_TRUE(absl::IsUnavailable(Sync(one_, server_one_)));
  EXPECT_EQ(Count(one_).recorded, 4) << "nothing is decided before all was seen";
  server_one_.FailAt(0, absl::OkStatus());
  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result).ok());
  EXPECT_THAT(result.alarms, ElementsAre(HasSubstr("lost 2 entries of this device")));
  EXPECT_EQ(journal_.entries.size(), 4u);
}

TEST_F(SyncerTest, ARowMissingInBetweenIsNotTakenForTheWhole) {
  struct Holey : FakeServer {
    using FakeServer::FakeServer;
    absl::StatusOr<Page> Pull(uint64_t after_seq) override {
      auto page = FakeServer::Pull(after_seq);
      if (page->rows.size() > 1) page->rows.erase(page->rows.begin());
      return page;
    }
  };
  one_.Do("vessel new C1 C2 C3");
  MustSync(one_, server_one_);
  Holey holey(journal_, TestDevice(2));
  EXPECT_TRUE(absl::IsDataLoss(Sync(two_, holey)));
  EXPECT_EQ(Count(two_).recorded, 0);
}

TEST_F(SyncerTest, RepairMendsWhatWasDamagedHere) {
  one_.Do("vessel new C1 C2 C3");
  MustSync(one_, server_one_);
  {
    Store store = one_.OpenStore();
    ASSERT_TRUE(store.db().Exec("UPDATE entry SET bytes = x'00' WHERE local_no = 2").ok());
  }
  EXPECT_THAT(one_.Do("board").err, HasSubstr("rundlet sync --repair"));
  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result, /*repair=*/true).ok());
  EXPECT_EQ(result.mended, 1);
  MustSync(two_, server_two_);
  EXPECT_EQ(Digest(one_), Digest(two_));
}

// A store put back from an old copy must not use running numbers again.
TEST_F(SyncerTest, AStoreOlderThanItsDeviceFetchesBeforeItWrites) {
  one_.Do("vessel new C1 C2");
  MustSync(one_, server_one_);
  TestCellar copy(1);  // the same device, with an empty store
  server_one_.FailAt(2, absl::UnavailableError("cut off before anything was pulled"));
  EXPECT_FALSE(Sync(copy, server_one_).ok());
  const auto refused = copy.Run("vessel new C3");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err, HasSubstr("rundlet sync"));
  server_one_.FailAt(0, absl::OkStatus());
  MustSync(copy, server_one_);
  copy.Do("vessel new C3");
  MustSync(copy, server_one_);
  EXPECT_EQ(journal_.entries.size(), 3u);
  EXPECT_EQ(Count(copy).returned, 0);
}

TEST_F(SyncerTest, OneTokenOnTwoMachinesIsFoundOut) {
  TestCellar copy(1);  // the same device on another machine
  one_.Do("vessel new C1");
  copy.Do("vessel new C2");
  MustSync(one_, server_one_);
  SyncResult result;
  ASSERT_TRUE(Sync(copy, server_one_, &result).ok());
  EXPECT_THAT(result.alarms, ElementsAre(HasSubstr("in use on two machines")));
  EXPECT_EQ(Count(copy).returned, 1);
}

TEST_F(SyncerTest, AClockThatIsAheadOfTheServersIsTold) {
  journal_.received_at_us = absl::ToUnixMicros(one_.now());
  one_.Advance(absl::Hours(72));
  EXPECT_EQ(one_.Do("vessel new C1").err, "");
  MustSync(one_, server_one_);
  EXPECT_THAT(one_.Do("vessel new C2").err,
              HasSubstr("clock of this device is ahead: it said 2026-03-05 10:00 when that of the "
                        "server said 2026-03-02 10:00"));
  // The other device is right: nothing is said of it but that the book is ahead.
  MustSync(two_, server_two_);
  EXPECT_THAT(two_.Do("vessel new C3").err,
              HasSubstr("clock of this device says 2026-03-02 10:00, but entry "));
  one_.Advance(absl::Hours(-71));
  EXPECT_THAT(one_.Do("vessel new C4").err, Not(HasSubstr("is ahead"))) << "it was set right";
}

// Another device has taken over what waited here, and handed it in under its ids: that is no fault
// of anybody's.
TEST_F(SyncerTest, WhatAnotherDeviceHandedInIsSettled) {
  one_.Do("vessel new C1 --capacity 23L");
  std::string waiting;
  {
    Store store = one_.OpenStore();
    ASSERT_TRUE(store
                    .ForEach(0,
                             [&](const StoredEntry& stored) {
                               waiting = stored.bytes;
                               return absl::OkStatus();
                             })
                    .ok());
  }
  v1::Entry draft;
  ASSERT_TRUE(draft.ParseFromString(waiting));
  const Uuid id = *Uuid::FromBytes(draft.entry_id());
  draft.clear_previous_hash();
  ChainHead head;
  const auto taken_over = WriteEntry(TestDevice(2).writer(), id, std::move(draft), head);
  ASSERT_TRUE(taken_over.ok()) << taken_over.status();
  journal_.entries.push_back(taken_over->bytes);

  SyncResult result;
  ASSERT_TRUE(Sync(one_, server_one_, &result).ok());
  EXPECT_THAT(result.alarms, IsEmpty());
  EXPECT_THAT(one_.Do("board").out, HasSubstr("C1"));
  EXPECT_THAT(one_.Do("held").out, HasSubstr("nothing was returned"));
  EXPECT_THAT(one_.Do("audit").out, HasSubstr("all is well"));
}

}  // namespace
}  // namespace rundlet::client
