// Goal: whatever is bent in a book is found by the audit and named; a whole one passes. Method: a
// real store that was synced with a journal in memory, bent byte by byte and row by row with SQL.
#include "client/cellar/audit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "absl/strings/str_cat.h"
#include "client/base/exit_code.h"
#include "client/base/file.h"
#include "client/sync/syncer.h"
#include "client/testing/entries.h"
#include "client/testing/fake_server.h"
#include "client/testing/test_cellar.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class AuditTest : public ::testing::Test {
 protected:
  AuditTest() {
    one_.Enrol();
    two_.Enrol();
    one_.Do("vessel new C1 C2 --capacity 23L");
    one_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
    Sync(one_, server_one_);
    Sync(two_, server_two_);
    two_.Do("read C1 1.082 19C");
    two_.Do("rack C1 C2 --lees 0.5L");
    Sync(two_, server_two_);
    Sync(one_, server_one_);
  }
  static void Sync(TestCellar& cellar, FakeServer& server) {
    Store store = cellar.OpenStore();
    SyncResult result;
    const absl::Status status = Syncer(store, server).Run(false, 1, result);
    EXPECT_TRUE(status.ok()) << status;
    EXPECT_THAT(result.alarms, IsEmpty());
  }
  void Bend(const std::string& sql) {
    Store store = one_.OpenStore();
    const absl::Status status = store.db().Exec(sql);
    EXPECT_TRUE(status.ok()) << status;
  }
  std::vector<std::string> Problems() {
    auto cellar = OpenCellar(one_.home());
    EXPECT_TRUE(cellar.ok()) << cellar.status();
    const auto report = AuditBook(*cellar, {});
    EXPECT_TRUE(report.ok()) << report.status();
    return report->problems;
  }

  FakeJournal journal_;
  TestCellar one_{1}, two_{2};
  FakeServer server_one_{journal_, TestDevice(1)};
  FakeServer server_two_{journal_, TestDevice(2)};
};

TEST_F(AuditTest, AWholeBookPasses) {
  const auto passed = one_.Do("audit");
  EXPECT_THAT(passed.out, AllOf(HasSubstr("of 2 devices"), HasSubstr("all is well"),
                                HasSubstr(absl::StrCat("signed the first ", journal_.entries.size(),
                                                       " of ", journal_.entries.size()))));
  EXPECT_THAT(one_.Do("audit --json").out, HasSubstr("\"problems\":[]"));
  const std::string digest = one_.Do("digest").out.substr(0, 64);
  EXPECT_THAT(passed.out, HasSubstr(digest));
  one_.Do("note C2 'not synced yet'");
  EXPECT_THAT(Problems(), IsEmpty()) << "what waits for the server is no fault";
}

TEST_F(AuditTest, AChangedByte) {
  Bend("UPDATE entry SET bytes = bytes || x'00' WHERE seq = 3");
  EXPECT_THAT(Problems(),
              Contains(AllOf(HasSubstr("place 3"), HasSubstr("not the bytes that were written"))));
  const auto failed = one_.Run("audit");
  EXPECT_EQ(failed.exit_code, kExitError);
}

// Bytes and hash both, as who knows the format would do it: the tree and the chain tell.
TEST_F(AuditTest, AForgedEntryWithAGoodHash) {
  Store store = one_.OpenStore();
  Query read(store.db(), "SELECT bytes FROM entry WHERE seq = 1");
  ASSERT_TRUE(read.Next());
  v1::Entry entry;
  ASSERT_TRUE(entry.ParseFromString(read.Bytes(0)));
  entry.set_note("forged");
  const std::string bytes = entry.SerializeAsString();
  Sha256 sha;
  read.Reset();
  Query write(store.db(), "UPDATE entry SET bytes = ?, hash = ? WHERE seq = 1");
  ASSERT_TRUE(write.Bind(bytes).Bind(HashBytes(LeafHash(sha, bytes))).Run().ok());
  EXPECT_THAT(Problems(), AllOf(Contains(HasSubstr("does not follow what the device wrote before")),
                                Contains(HasSubstr("not what the device signed")),
                                Contains(HasSubstr("are not those that the server signed"))));
}

TEST_F(AuditTest, AMissingEntry) {
  Bend("DELETE FROM entry WHERE seq = 2");
  EXPECT_THAT(Problems(), Contains(HasSubstr("place 2 of the journal is missing")));
}

TEST_F(AuditTest, TwoThatChangedPlaces) {
  Bend("UPDATE entry SET seq = 99 WHERE seq = 2");
  Bend("UPDATE entry SET seq = 2 WHERE seq = 3");
  Bend("UPDATE entry SET seq = 3 WHERE seq = 99");
  EXPECT_THAT(Problems(), Contains(HasSubstr("are not those that the server signed")));
}

TEST_F(AuditTest, AnEntryInAnothersMouth) {
  Bend("DELETE FROM seal WHERE last_seq = (SELECT max(last_seq) FROM seal)");
  EXPECT_THAT(Problems(), Contains(HasSubstr("bear nobody's signature")));
}

TEST_F(AuditTest, AKeyThatIsNotTheDevices) {
  Store store = one_.OpenStore();
  Query read(store.db(), "SELECT last_seq, bytes FROM seal ORDER BY last_seq LIMIT 1");
  ASSERT_TRUE(read.Next());
  v1::Seal seal;
  ASSERT_TRUE(seal.ParseFromString(read.Bytes(1)));
  seal.mutable_signature()->front() ^= 1;
  const int64_t place = read.Int(0);
  read.Reset();
  Query write(store.db(), "UPDATE seal SET bytes = ? WHERE last_seq = ?");
  ASSERT_TRUE(write.Bind(seal.SerializeAsString()).Bind(place).Run().ok());
  EXPECT_THAT(Problems(), Contains(HasSubstr("not what the device signed")));
}

// Both devices are there by nobody's invitation, as the server may have made up.
TEST_F(AuditTest, WhoWasLetInByNobodyIsNamed) {
  const auto passed = one_.Do("audit");
  EXPECT_THAT(passed.out,
              AllOf(HasSubstr("not proven: the device"), HasSubstr("was there first"),
                    HasSubstr("it was in before there were any"), HasSubstr("all is well")));
  EXPECT_THAT(one_.Do("audit --json").out, HasSubstr("\"not_proven\":[\"the device"));
  const auto size = journal_.entries.size();
  EXPECT_THAT(one_.Do(absl::StrCat("audit --since ", size - 1)).out, Not(HasSubstr("not proven")))
      << "that was told before, and who came in then is known";
}

// Everything else is made good: bytes, hash, and the book's own idea of who signs.
TEST_F(AuditTest, ADeviceThatSpeaksForTwo) {
  Store store = one_.OpenStore();
  Query read(store.db(), "SELECT max(seq) FROM entry");
  ASSERT_TRUE(read.Next());
  const int64_t last = read.Int(0);
  read.Reset();
  Query bytes_of(store.db(), "SELECT bytes FROM entry WHERE seq = ?");
  bytes_of.Bind(last);
  ASSERT_TRUE(bytes_of.Next());
  v1::Entry entry;
  ASSERT_TRUE(entry.ParseFromString(bytes_of.Bytes(0)));
  bytes_of.Reset();
  entry.set_author_id(std::string(16, 'x'));
  const std::string bytes = entry.SerializeAsString();
  Sha256 sha;
  Query write(store.db(), "UPDATE entry SET bytes = ?, hash = ? WHERE seq = ?");
  ASSERT_TRUE(write.Bind(bytes).Bind(HashBytes(LeafHash(sha, bytes))).Bind(last).Run().ok());
  EXPECT_THAT(Problems(), Contains(HasSubstr("speaks for 2 members")));
}

TEST_F(AuditTest, OnlyWhatCameSince) {
  const auto whole = one_.Do("audit --json");
  const auto size = static_cast<int64_t>(journal_.entries.size());
  const auto later = one_.Do(absl::StrCat("audit --since ", size - 1));
  EXPECT_THAT(later.out, AllOf(HasSubstr("1 entry of 1 device"), HasSubstr("all is well")));
  // What was audited before is held to its hash and the signed root still.
  Bend("UPDATE entry SET hash = zeroblob(32) WHERE seq = 2");
  EXPECT_THAT(one_.Run(absl::StrCat("audit --since ", size - 1)).out,
              HasSubstr("are not those that the server signed"));
  EXPECT_THAT(one_.Run("audit --since 999").err, HasSubstr("and not 999"));
}

TEST_F(AuditTest, ADamagedCheckpoint) {
  ASSERT_TRUE(WritePrivateFile(one_.home().checkpoint(), "nonsense").ok());
  EXPECT_THAT(Problems(), Contains(HasSubstr("it holds no checkpoint")));
}

}  // namespace
}  // namespace rundlet::client
