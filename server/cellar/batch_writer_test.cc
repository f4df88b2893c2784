// Goal: every entry of a push gets the answer that docs/sync.md promises, each by itself.
// Method: pushes to a real database, as one transaction each unless a test says otherwise; entries
// are written by the invented Thistledown Wine Circle's devices, and damaged by hand.
#include "server/cellar/batch_writer.h"

#include <algorithm>
#include <memory>

#include "absl/time/clock.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "gmock/gmock.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"

namespace rundlet::server {
namespace {

using rundlet::testing::DrawAll;
using rundlet::testing::FillRest;
using rundlet::testing::TestDevice;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

class BatchWriterTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    replica_ = std::make_unique<Replica>(db().connection_string());
    phone_ = std::make_unique<TestDevice>("phone", WriterOf(isolde()));
    tablet_ = std::make_unique<TestDevice>("tablet", WriterOf(bram()));
  }

  // What a device is told of a push; the error if there is one.
  std::vector<std::string> PushAs(const Device& device, const std::vector<std::string>& entries) {
    const absl::StatusOr<PushResult> result = replica_->Push(device, entries);
    return result.ok() ? Told(*result) : std::vector<std::string>{result.status().ToString()};
  }

  std::unique_ptr<Replica> replica_;
  std::unique_ptr<TestDevice> phone_;
  std::unique_ptr<TestDevice> tablet_;
};

TEST_F(BatchWriterTest, RecordsInOrderAndAnswersTheSameAgain) {
  const std::string first = phone_->RegisterVessel("C1").bytes;
  const std::string second = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(PushAs(isolde(), {first, second}), ElementsAre("recorded 1", "recorded 2"));
  EXPECT_THAT(PushAs(isolde(), {second, first}), ElementsAre("already 2", "already 1"));
  const std::string other = tablet_->RegisterVessel("C3").bytes;
  EXPECT_THAT(PushAs(bram(), {other}), ElementsAre("recorded 3"));
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

TEST_F(BatchWriterTest, AnEmptyPushTellsTheSize) {
  const absl::StatusOr<PushResult> result = replica_->Push(isolde(), {});
  ASSERT_TRUE(result.ok()) << result.status();
  EXPECT_EQ(result->journal_size, 0);
}

TEST_F(BatchWriterTest, ADuplicateWithinABatchIsAlreadyRecorded) {
  const std::string first = phone_->RegisterVessel("C1").bytes;
  const std::string second = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(PushAs(isolde(), {first, first, second, first}),
              ElementsAre("recorded 1", "already 1", "recorded 2", "already 1"));
}

TEST_F(BatchWriterTest, OverlappingPushesOfOneTransactionAreEachAnswered) {
  const std::string first = phone_->RegisterVessel("C1").bytes;
  const std::string second = phone_->RegisterVessel("C2").bytes;
  const std::string third = phone_->RegisterVessel("C3").bytes;
  const std::string other = tablet_->RegisterVessel("C4").bytes;
  const auto results = replica_->PushTogether(
      {{isolde(), {first, second}}, {bram(), {other}}, {isolde(), {second, third}}});
  ASSERT_TRUE(results.ok()) << results.status();
  EXPECT_THAT(Told((*results)[0]), ElementsAre("recorded 1", "recorded 2"));
  EXPECT_THAT(Told((*results)[1]), ElementsAre("recorded 3"));
  EXPECT_THAT(Told((*results)[2]), ElementsAre("already 2", "recorded 4"));
  EXPECT_EQ((*results)[0].journal_size, 4);
}

TEST_F(BatchWriterTest, EntriesMayArriveInAnyOrder) {
  std::vector<std::string> entries;
  for (int i = 0; i < 5; ++i) entries.push_back(phone_->RegisterVessel("C1").bytes);
  std::reverse(entries.begin(), entries.end());
  EXPECT_THAT(PushAs(isolde(), entries),
              ElementsAre("recorded 1", "recorded 2", "recorded 3", "recorded 4", "recorded 5"));
}

TEST_F(BatchWriterTest, AReusedIdIsReturned) {
  const WrittenEntry first = phone_->RegisterVessel("C1");
  const WrittenEntry second =
      phone_->WithId(rundlet::testing::EntryId(first.entry)).RegisterVessel("C2");
  EXPECT_THAT(PushAs(isolde(), {first.bytes, second.bytes}),
              ElementsAre("recorded 1", "returned ID_REUSED"));
}

TEST_F(BatchWriterTest, AReusedRunningNumberIsReturned) {
  TestDevice twin("twin", WriterOf(isolde()));  // a device set back to an old backup
  EXPECT_THAT(PushAs(isolde(), {phone_->RegisterVessel("C1").bytes}), ElementsAre("recorded 1"));
  EXPECT_THAT(PushAs(isolde(), {twin.RegisterVessel("C2").bytes}),
              ElementsAre("returned ID_REUSED"));
}

TEST_F(BatchWriterTest, TheChainMustFitOnBothSides) {
  TestDevice twin("twin", WriterOf(isolde()));
  const std::string ours_1 = phone_->RegisterVessel("C1").bytes;
  const std::string ours_2 = phone_->RegisterVessel("C2").bytes;
  const std::string ours_3 = phone_->RegisterVessel("C3").bytes;
  const std::string theirs_1 = twin.RegisterVessel("D1").bytes;
  const std::string theirs_2 = twin.RegisterVessel("D2").bytes;
  // Behind another entry than it names.
  EXPECT_THAT(PushAs(isolde(), {ours_1, theirs_2}),
              ElementsAre("recorded 1", "returned CHAIN_BROKEN"));
  // Before one that names another.
  EXPECT_THAT(PushAs(isolde(), {ours_3}), ElementsAre("recorded 2"));
  EXPECT_THAT(PushAs(isolde(), {theirs_2}), ElementsAre("returned CHAIN_BROKEN"));
  // What was returned has left no trace, and the gap can be closed.
  EXPECT_THAT(PushAs(isolde(), {ours_2, ours_3}), ElementsAre("recorded 3", "already 2"));
  EXPECT_THAT(PushAs(isolde(), {theirs_1}), ElementsAre("returned ID_REUSED"));
}

TEST_F(BatchWriterTest, TheChainIsCheckedAgainstWhatWasLoaded) {
  TestDevice twin("twin", WriterOf(isolde()));
  const std::string ours_1 = phone_->RegisterVessel("C1").bytes;
  twin.RegisterVessel("D1");
  const std::string theirs_2 = twin.RegisterVessel("D2").bytes;
  EXPECT_THAT(PushAs(isolde(), {ours_1}), ElementsAre("recorded 1"));
  replica_ = std::make_unique<Replica>(db().connection_string());
  EXPECT_THAT(PushAs(isolde(), {theirs_2}), ElementsAre("returned CHAIN_BROKEN"));
}

TEST_F(BatchWriterTest, OneBadEntryDoesNotStopAThousandGoodOnes) {
  std::vector<std::string> entries;
  for (int i = 0; i < 500; ++i) entries.push_back(phone_->RegisterVessel("C1").bytes);
  entries.push_back("\xff not an entry");
  entries.push_back("");
  entries.push_back(std::string(kMaxEntryBytes + 1, 'x'));
  for (int i = 0; i < 500; ++i) {
    entries.push_back(phone_->Rack({DrawAll("C1")}, {FillRest("C2")}).bytes);  // held: it is empty
  }
  const absl::StatusOr<PushResult> result = replica_->Push(isolde(), entries);
  ASSERT_TRUE(result.ok()) << result.status();
  const std::vector<std::string> told = Told(*result);
  EXPECT_EQ(told[499], "recorded 500");
  EXPECT_EQ(told[500], "returned MALFORMED");
  EXPECT_EQ(told[501], "returned MALFORMED");
  EXPECT_EQ(told[502], "returned TOO_LARGE");
  EXPECT_EQ(told[503], "recorded 501");
  EXPECT_EQ(told[1002], "recorded 1000");
  EXPECT_EQ(result->journal_size, 1000);
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

TEST_F(BatchWriterTest, EntriesOfOthersAreReturned) {
  const NewDevice other = NewCellar("Second Cellar");
  TestDevice elsewhere("elsewhere", WriterOf(other.device));
  EXPECT_THAT(PushAs(isolde(), {elsewhere.RegisterVessel("C1").bytes}),
              ElementsAre("returned WRONG_CELLAR"));
  EXPECT_THAT(PushAs(isolde(), {tablet_->RegisterVessel("C1").bytes}),
              ElementsAre("returned WRONG_DEVICE"));
  Writer impostor = WriterOf(isolde());
  impostor.member_id = bram().member_id;
  TestDevice borrowed("borrowed", impostor);
  EXPECT_THAT(PushAs(isolde(), {borrowed.RegisterVessel("C1").bytes}),
              ElementsAre("returned WRONG_AUTHOR"));
}

TEST_F(BatchWriterTest, AGuestMayNotWriteButKeepsWhatWasRecorded) {
  const NewDevice guest = AddDevice("Wren Hollis", MemberRole::kHand);
  TestDevice phone("guest", WriterOf(guest.device));
  const std::string first = phone.RegisterVessel("C1").bytes;
  EXPECT_THAT(PushAs(guest.device, {first}), ElementsAre("recorded 1"));
  {
    const auto transaction =
        CellarTransaction::Begin(replica_->pool(), cellar_id(), absl::InfiniteFuture());
    ASSERT_TRUE(
        DeviceStore(**transaction).SetRole(guest.device.member_id, MemberRole::kGuest).ok());
    ASSERT_TRUE((*transaction)->Commit().ok());
  }
  EXPECT_THAT(PushAs(guest.device, {first, phone.RegisterVessel("C2").bytes}),
              ElementsAre("already 1", "returned NOT_ALLOWED"));
}

// Settings are for masters, and so is undoing them: by a void, by an amendment of the same kind, or
// by one that puts something in their place which a hand may write.
TEST_F(BatchWriterTest, AHandUndoesNothingThatIsForMasters) {
  const auto setting = phone_->SetTolerance(10'000, std::nullopt);
  const auto vessel = phone_->RegisterVessel("C1");
  EXPECT_THAT(PushAs(isolde(), {setting.bytes, vessel.bytes}),
              ElementsAre("recorded 1", "recorded 2"));
  EXPECT_THAT(PushAs(bram(), {tablet_->SetTolerance(20'000, std::nullopt).bytes,
                              tablet_->Void(setting.entry).bytes,
                              tablet_->Amending(setting.entry).SetTolerance(1, std::nullopt).bytes,
                              tablet_->Amending(setting.entry).RegisterVessel("C2").bytes,
                              tablet_->Amending(vessel.entry).RegisterVessel("C1").bytes}),
              ElementsAre("returned NOT_ALLOWED", "returned NOT_ALLOWED", "returned NOT_ALLOWED",
                          "returned NOT_ALLOWED", "recorded 3"));
  EXPECT_THAT(PushAs(isolde(), {phone_->Void(setting.entry).bytes}), ElementsAre("recorded 4"));
}

TEST_F(BatchWriterTest, NewerKindsAndFormatsWait) {
  const std::string kind = phone_->WriteOfNewerKind().bytes;
  const std::string format =
      phone_->WriteInNewerFormat(rundlet::testing::draft::VesselRegistered("C1")).bytes;
  const std::string known = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(PushAs(isolde(), {kind, format, known}),
              ElementsAre("not yet", "not yet", "recorded 1"));
}

// PostgreSQL's text and jsonb cannot hold U+0000; an entry can.
TEST_F(BatchWriterTest, ATextWithANulIsRecorded) {
  v1::Entry draft = rundlet::testing::draft::VesselRegistered("C1");
  draft.mutable_registered()->mutable_vessel()->set_location(std::string("left\0right", 10));
  EXPECT_THAT(PushAs(isolde(), {phone_->Write(draft).bytes}), ElementsAre("recorded 1"));
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

TEST_F(BatchWriterTest, ANonExistingCellarIsNotFound) {
  Device stray = isolde();
  stray.cellar_id = rundlet::testing::IdOf("no such cellar");
  TestDevice phone("stray", WriterOf(stray));
  EXPECT_EQ(replica_->Push(stray, {phone.RegisterVessel("C1").bytes}).status().code(),
            absl::StatusCode::kNotFound);
}

// After a failure in mid transaction nothing is decided, and the fold that ran ahead is forgotten.
TEST_F(BatchWriterTest, ABrokenTransactionLeavesNothingBehind) {
  const std::string first = phone_->RegisterVessel("C1").bytes;
  const std::string second = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(PushAs(isolde(), {first}), ElementsAre("recorded 1"));
  {
    pqxx::connection owner(db().connection_string());
    pqxx::nontransaction(owner).exec("revoke insert on rundlet.thing from rundlet_server");
  }
  EXPECT_EQ(replica_->Push(isolde(), {second}).status().code(),
            absl::StatusCode::kPermissionDenied);
  {
    pqxx::connection owner(db().connection_string());
    pqxx::nontransaction(owner).exec("grant insert on rundlet.thing to rundlet_server");
  }
  EXPECT_THAT(PushAs(isolde(), {first, second}), ElementsAre("already 1", "recorded 2"));
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

TEST_F(BatchWriterTest, LostConnectionsAreUnavailableAndThenReplaced) {
  const std::string first = phone_->RegisterVessel("C1").bytes;
  const std::string second = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(PushAs(isolde(), {first}), ElementsAre("recorded 1"));
  // A trigger that ends the connection of whoever writes an entry. It stands for a crash.
  pqxx::connection owner(db().connection_string());
  pqxx::nontransaction work(owner);
  work.exec(
      "create function public.crash() returns trigger language plpgsql security definer as "
      "$$ begin perform pg_terminate_backend(pg_backend_pid()); return new; end $$");
  work.exec(
      "create trigger crash before insert on rundlet.journal execute function public.crash()");
  EXPECT_EQ(replica_->Push(isolde(), {second}).status().code(), absl::StatusCode::kUnavailable);
  work.exec("drop trigger crash on rundlet.journal");
  EXPECT_THAT(PushAs(isolde(), {first, second}), ElementsAre("already 1", "recorded 2"));
}

// An older server must not fold, and so not write, behind an entry that it cannot fold.
TEST_F(BatchWriterTest, AJournalWithNewerKindsIsNotWrittenTo) {
  const std::string newer = phone_->WriteOfNewerKind().bytes;
  {
    auto transaction =
        CellarTransaction::Begin(replica_->pool(), cellar_id(), absl::InfiniteFuture());
    ASSERT_TRUE(transaction.ok()) << transaction.status();
    Sha256 sha;
    const NewRecord record = {.entry_id = rundlet::testing::IdOf("newer"),
                              .device_id = isolde().device_id,
                              .device_seq = 1,
                              .kind = "newer",
                              .leaf_hash = LeafHash(sha, newer),
                              .bytes = newer};
    ASSERT_TRUE(JournalStore(**transaction).Append(0, {record}, absl::Now()).ok());
    ASSERT_TRUE((*transaction)->Commit().ok());
  }
  const std::string known = phone_->RegisterVessel("C1").bytes;
  EXPECT_EQ(replica_->Push(isolde(), {known}).status().code(),
            absl::StatusCode::kFailedPrecondition);
}

TEST_F(BatchWriterTest, ADamagedJournalIsNoticedAndNotWrittenTo) {
  EXPECT_THAT(PushAs(isolde(), {phone_->RegisterVessel("C1").bytes}), ElementsAre("recorded 1"));
  {
    pqxx::connection owner(db().connection_string());
    pqxx::work work(owner);
    work.exec_params("select set_config('rundlet.cellar_id', $1, true)", cellar_id().ToString());
    work.exec(
        "update rundlet.journal set bytes = set_byte(bytes, 30, 1 + get_byte(bytes, 30) % 7)");
    work.commit();
  }
  Replica fresh(db().connection_string());
  EXPECT_EQ(fresh.Push(isolde(), {phone_->RegisterVessel("C2").bytes}).status().code(),
            absl::StatusCode::kDataLoss);
}

}  // namespace
}  // namespace rundlet::server
