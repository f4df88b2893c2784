// Goal: what a device hands in is signed by its key, and every other device notices when the server
// shows an entry that its device did not sign, in any way of making one up; and a device can change
// its key, also where the answer is lost.
// Method: devices with real stores and keys against a journal in memory that is bent.
#include "client/sync/seals.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "absl/strings/str_cat.h"
#include "client/store/device_key.h"
#include "client/sync/syncer.h"
#include "client/testing/entries.h"
#include "client/testing/fake_server.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class SealsTest : public ::testing::Test {
 protected:
  SealsTest() {
    journal_.signing_seed.clear();  // the tree's alarms are the witness's matter
    one_.Enrol();
    two_.Enrol();
    one_.Do("vessel new C1 C2 --capacity 23L");
    one_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
  }
  std::vector<std::string> Sync(TestCellar& cellar, FakeServer& server) {
    Store store = cellar.OpenStore();
    SyncResult result;
    const absl::Status status = Syncer(store, server).Run(false, 1, result);
    EXPECT_TRUE(status.ok()) << status;
    return result.alarms;
  }
  int64_t SealedUpTo(TestCellar& cellar) {
    return cellar.OpenStore().Get(MetaKey::kSealedUpTo).value_or(-1);
  }
  // An entry that the second device never wrote.
  std::string PutIntoTheSecondsMouth() {
    return NoteWriter(TestDevice(2)).Write("I added it twice").bytes;
  }

  FakeJournal journal_;
  TestCellar one_{1}, two_{2};
  FakeServer server_one_{journal_, TestDevice(1)};
  FakeServer server_two_{journal_, TestDevice(2)};
};

TEST_F(SealsTest, AnHonestServerIsBelieved) {
  for (int round = 0; round < 3; ++round) {
    one_.Do(absl::StrCat("read C1 1.0", 80 - round));
    EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
    EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
    two_.Do("note C1 'seen'");
    EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
  }
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_EQ(SealedUpTo(one_), static_cast<int64_t>(journal_.entries.size()));
  EXPECT_EQ(SealedUpTo(two_), static_cast<int64_t>(journal_.entries.size()));
}

TEST_F(SealsTest, PagesAndReturnedEntriesDoNoHarm) {
  journal_.judge = [](const v1::Entry& entry) {
    return entry.note() == "no" ? PushAnswer::Kind::kReturned : PushAnswer::Kind::kRecorded;
  };
  server_two_.set_page_size(2);
  one_.Do("note C1 no");
  one_.Do("note C1 yes");
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
  EXPECT_EQ(SealedUpTo(two_), static_cast<int64_t>(journal_.entries.size()));
}

TEST_F(SealsTest, AnEntryThatNobodySigned) {
  Sync(one_, server_one_);
  journal_.entries.push_back(PutIntoTheSecondsMouth());
  const size_t forged = journal_.entries.size();
  EXPECT_THAT(Sync(one_, server_one_),
              Contains(HasSubstr(absl::StrCat("places ", forged, " to ", forged,
                                              " of the journal bear nobody's signature"))));
  EXPECT_THAT(Sync(one_, server_one_), Contains(HasSubstr("nobody's signature")))
      << "it is said again until it is mended";
}

TEST_F(SealsTest, AnEntryInAnothersMouthUnderThatOnesSignature) {
  Sync(one_, server_one_);
  journal_.entries.push_back(PutIntoTheSecondsMouth());
  v1::Seal seal = journal_.seals.back();
  seal.set_last_seq(journal_.entries.size());
  v1::SealRun* run = seal.add_parts()->mutable_run();
  run->set_first_seq(journal_.entries.size());
  run->set_count(1);
  journal_.seals.push_back(seal);
  EXPECT_THAT(Sync(one_, server_one_), Contains(HasSubstr("says that it is of device")));
  journal_.seals.back().set_device_id(TestDevice(2).device_id.ToBytes());
  EXPECT_THAT(Sync(two_, server_two_), Contains(HasSubstr("is not good")));
}

TEST_F(SealsTest, AChangedEntry) {
  Sync(one_, server_one_);
  v1::Entry entry;
  ASSERT_TRUE(entry.ParseFromString(journal_.entries.back()));
  entry.set_note("changed");
  journal_.entries.back() = entry.SerializeAsString();
  EXPECT_THAT(Sync(two_, server_two_), Contains(HasSubstr("not what the device signed")));
}

TEST_F(SealsTest, ARemovedEntryAndTwoThatChangedPlaces) {
  Sync(one_, server_one_);
  const FakeJournal whole = journal_;
  std::swap(journal_.entries[1], journal_.entries[2]);
  EXPECT_THAT(Sync(two_, server_two_), Contains(HasSubstr("not what the device signed")));
  journal_ = whole;
  journal_.entries.erase(journal_.entries.begin() + 1);
  TestCellar three(3);
  FakeServer server_three(journal_, TestDevice(3));
  EXPECT_THAT(Sync(three, server_three), Contains(HasSubstr("nobody's signature")));
}

TEST_F(SealsTest, ANewKeySignsFromTheNextPushOn) {
  Sync(one_, server_one_);
  const auto old_key = ReadDeviceKey(one_.home());
  ASSERT_TRUE(old_key.ok());
  one_.ChangeKey();
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  const auto new_key = ReadDeviceKey(one_.home());
  ASSERT_TRUE(new_key.ok());
  EXPECT_FALSE(new_key->public_key() == old_key->public_key());
  one_.Do("read C1 1.070");
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
  EXPECT_EQ(SealedUpTo(two_), static_cast<int64_t>(journal_.entries.size()));
}

// The server has the new key, and the device does not know it: it asks at the next sync.
TEST_F(SealsTest, AKeyWhoseAnswerWasLost) {
  Sync(one_, server_one_);
  one_.ChangeKey();
  server_one_.FailAt(2, absl::UnavailableError("the line went dead"), /*after_doing=*/true);
  Store store = one_.OpenStore();
  SyncResult result;
  EXPECT_TRUE(absl::IsUnavailable(Syncer(store, server_one_).Run(false, 1, result)));
  v1::Entry last;
  ASSERT_TRUE(last.ParseFromString(journal_.entries.back()));
  const std::string next = last.device_enrolled().public_key();
  ASSERT_THAT(next, testing::SizeIs(32));
  server_one_.set_public_key(next);
  one_.Do("read C1 1.070");
  EXPECT_THAT(Sync(one_, server_one_), IsEmpty());
  EXPECT_EQ(ReadDeviceKey(one_.home())->public_key().bytes(), next);
  EXPECT_THAT(Sync(two_, server_two_), IsEmpty());
}

TEST_F(SealsTest, AJournalFromBeforeThereWereKeys) {
  FakeJournal old;
  TestCellar three(3), four(4);
  FakeServer server_three(old, TestDevice(3)), server_four(old, TestDevice(4));
  three.Do("vessel new V1 --capacity 5L");
  EXPECT_THAT(Sync(three, server_three), IsEmpty());
  three.Enrol();
  // Each device is told once, as it cannot know.
  for (auto [cellar, server] : {std::pair(&three, &server_three), std::pair(&four, &server_four)}) {
    EXPECT_THAT(Sync(*cellar, *server),
                Contains(HasSubstr("first 1 entries of the journal bear no")));
    EXPECT_THAT(Sync(*cellar, *server), IsEmpty());
  }
  // From then on nothing may lie there unsigned.
  old.entries.push_back(NoteWriter(TestDevice(2)).Write("late").bytes);
  EXPECT_THAT(Sync(four, server_four), Contains(HasSubstr("nobody's signature")));
}

}  // namespace
}  // namespace rundlet::client
