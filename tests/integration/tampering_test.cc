// Goal: whoever changes, removes, reorders or invents an entry in the server's database, sets it
// back or shows two histories is found out - by the audit on the server and by the devices - and
// named precisely; and what a server lost comes back. Method: the real programs on a real database
// that is tampered with as its superuser can.
#include <filesystem>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kCircle[] = "Thistledown Wine Circle";

class EvidenceTest : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    maud_.Do({"join", server_.NewCellar(kCircle, "Maud Ferrier"), "--device", "laptop"});
    maud_.Do("vessel new C1 C2 --capacity 23L");
    maud_.Do("receive juice 20L --into C1 --lot White");
    maud_.Do("sync");
    tobias_.Do({"join", server_.Invite(kCircle, "Tobias Wren"), "--device", "phone"});
    tobias_.Do("read C1 1.080 19C");
    tobias_.Do("sync");
    maud_.Do("sync");
  }

  std::string Audit(std::vector<std::string> more = {}) {
    more.insert(more.begin(), "audit");
    const Finished audit = server_.Admin(more);
    EXPECT_EQ(audit.err, "");
    EXPECT_EQ(audit.exit_code, audit.out.find("wrong: ") == std::string::npos ? 0 : 1);
    return audit.out;
  }
  // Does it as the database's superuser, whom nothing binds.
  void Tamper(const std::string& sql) {
    const Finished done = server_.Sql(sql);
    ASSERT_EQ(done.exit_code, 0) << done.err;
  }
  // What a device that comes in now is told.
  std::string NewcomersAlarms() {
    ClientProcess newcomer(absl::StrCat(folder_.path(), "/newcomer", ++newcomers_));
    return newcomer.Try({"join", server_.Invite(kCircle, "Isolde Thornbury", "guest")}).err;
  }
  void SyncAll() {
    for (int round = 0; round < 2; ++round) {
      for (const ClientProcess* client : {&maud_, &tobias_}) client->Try("sync");
    }
  }

  TempDir folder_;
  ServerProcess server_{folder_.path() + "/server"};
  ClientProcess maud_{folder_.path() + "/maud"};
  ClientProcess tobias_{folder_.path() + "/tobias"};
  int newcomers_ = 0;
};

TEST_F(EvidenceTest, WhatWasSignedIsWhatIsThere) {
  EXPECT_THAT(Audit(), AllOf(HasSubstr("of 2 devices"), HasSubstr("all is well")));
  EXPECT_THAT(Audit({"--checkpoint", maud_.home() + "/checkpoint"}), HasSubstr("all is well"));
  EXPECT_EQ(NewcomersAlarms(), "");
  EXPECT_THAT(maud_.Do("audit"), HasSubstr("all is well"));
}

TEST_F(EvidenceTest, AChangedByte) {
  Tamper(
      "update rundlet.journal set bytes = set_byte(bytes, 20, get_byte(bytes, 20) # 1) where seq = "
      "3");
  EXPECT_THAT(Audit(),
              AllOf(HasSubstr("place 3"), HasSubstr("has not the bytes that were written")));
  EXPECT_THAT(NewcomersAlarms(), HasSubstr("alarm:"));
}

// By somebody who knows of the hashes.
TEST_F(EvidenceTest, AChangedEntryWithAGoodHash) {
  Tamper(
      "update rundlet.journal set bytes = bytes || '\\x62026162'::bytea where seq = 3;"
      "update rundlet.journal set leaf_hash = sha256('\\x00'::bytea || bytes) where seq = 3");
  EXPECT_THAT(Audit(), HasSubstr("they are not what the device signed"));
  EXPECT_THAT(Audit({"--checkpoint", maud_.home() + "/checkpoint"}),
              HasSubstr("does not begin with the"));
  EXPECT_THAT(NewcomersAlarms(), HasSubstr("not what the device signed"));
}

TEST_F(EvidenceTest, ARemovedEntry) {
  Tamper("delete from rundlet.journal where seq = 4");
  EXPECT_THAT(Audit(), HasSubstr("place 4 of the journal is missing"));
}

// The end is cut off, and all that counts it is set right.
TEST_F(EvidenceTest, ARemovedEnd) {
  Tamper(
      "delete from rundlet.journal where seq = (select size from rundlet.journal_head);"
      "delete from rundlet.seal where last_seq > (select max(seq) from rundlet.journal);"
      "update rundlet.journal_head set size = size - 1");
  server_.Stop();
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  EXPECT_THAT(Audit({"--checkpoint", maud_.home() + "/checkpoint"}), HasSubstr("and had"));
  EXPECT_THAT(maud_.Try("sync").err, HasSubstr("alarm:"));
}

TEST_F(EvidenceTest, TwoThatChangedPlaces) {
  Tamper(
      "update rundlet.journal set seq = 1000 where seq = 3;"
      "update rundlet.journal set seq = 3 where seq = 4;"
      "update rundlet.journal set seq = 4 where seq = 1000");
  EXPECT_THAT(Audit(), HasSubstr("they are not what the device signed"));
  EXPECT_THAT(NewcomersAlarms(), HasSubstr("not what the device signed"));
}

// An entry that nobody handed in, with everything that counts and hashes set right.
TEST_F(EvidenceTest, AnEntryInAnothersMouth) {
  Tamper(
      "insert into rundlet.journal select cellar_id, (select size + 1 from rundlet.journal_head),"
      " 'f0000000-0000-7000-8000-000000000001', device_id, 900, effective_at_us, kind,"
      " sha256('\\x00'::bytea || overlay(bytes placing "
      "'\\xf0000000000070008000000000000001'::bytea from 3)),"
      " overlay(bytes placing '\\xf0000000000070008000000000000001'::bytea from 3), received_at"
      " from rundlet.journal where seq = 3;"
      "update rundlet.journal_head set size = size + 1");
  EXPECT_THAT(Audit(), HasSubstr("bear nobody's signature"));
  server_.Stop();
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  EXPECT_THAT(NewcomersAlarms(), HasSubstr("bear nobody's signature"));
}

// Whoever runs the server can let in whom they like, and under any name; but not unnoticed.
TEST_F(EvidenceTest, ADeviceThatNoMemberLetIn) {
  const std::string invited = maud_.Do("invite \"Isolde Thornbury\"");
  maud_.Do("sync");
  ClientProcess isolde(folder_.path() + "/isolde");
  isolde.Do({"join", FirstInvitation(invited), "--device", "proper tablet"});
  isolde.Do("read C1 1.070 19C");
  isolde.Do("sync");
  ClientProcess other(folder_.path() + "/other");
  other.Do({"join", server_.Invite(kCircle, "Maud Ferrier"), "--device", "made-up phone"});
  other.Do("read C1 1.060 19C");
  other.Do("sync");
  maud_.Do("sync");
  for (const std::string& said : {Audit(), maud_.Do("audit")}) {
    EXPECT_THAT(said, HasSubstr("all is well"));
    EXPECT_THAT(said, ::testing::ContainsRegex("not proven: .*'laptop', place 1.*was there first"));
    EXPECT_THAT(said,
                ::testing::ContainsRegex("not proven: .*'made-up phone'.* of member .* let in "
                                         "by the server's keeper, not by a member"));
    EXPECT_THAT(said, Not(HasSubstr("proper tablet"))) << "a master let it in";
  }
}

TEST_F(EvidenceTest, AKeyThatWasChangedInTheDatabase) {
  Tamper(
      "update rundlet.device set public_key = decode(repeat('ab', 32), 'hex') where role = 'hand'");
  EXPECT_THAT(Audit(), HasSubstr("another key in the database than it says in the journal"));
}

TEST_F(EvidenceTest, ADamagedTree) {
  for (int i = 0; i < 20; ++i) maud_.Do(absl::StrCat("read C1 1.0", 79 - i));
  maud_.Do("sync");
  Tamper("update rundlet.tree_tile set hashes = set_byte(hashes, 0, get_byte(hashes, 0) # 1)");
  EXPECT_THAT(Audit(), HasSubstr("is not that of the journal"));
}

// The steps of docs/operations.md.
TEST_F(EvidenceTest, AServerSetBackToABackupGetsEverythingAgain) {
  const std::string dump = folder_.path() + "/rundlet.dump";
  const std::vector<std::string> where = {
      "-h", server_.data() + "/socket", "-U", "rundlet", "-d", "rundlet"};
  const auto with = [&](std::vector<std::string> words, const std::vector<std::string>& more) {
    words.insert(words.end(), where.begin(), where.end());
    words.insert(words.end(), more.begin(), more.end());
    const Finished done = RunProgram(words);
    ASSERT_EQ(done.exit_code, 0) << done.err;
  };
  with({"/usr/bin/env", "pg_dump"}, {"-Fc", "-f", dump});
  tobias_.Do("rack C1 C2 --lees 1L");
  tobias_.Do("sync");
  maud_.Do("sync");
  maud_.Do("read C2 1.004 18C");
  maud_.Do("sync");
  tobias_.Do("sync");
  const std::string digest = maud_.Digest();

  with({"/usr/bin/env", "pg_restore"}, {"--clean", "--if-exists", "--no-owner", dump});
  server_.Stop();
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  EXPECT_THAT(Audit(), HasSubstr("all is well"));
  EXPECT_THAT(Audit({"--checkpoint", maud_.home() + "/checkpoint"}), HasSubstr("and had"));
  EXPECT_THAT(maud_.Try("sync").err, AllOf(HasSubstr("has lost"), HasSubstr("restored")));
  SyncAll();
  EXPECT_EQ(maud_.Digest(), digest);
  EXPECT_EQ(tobias_.Digest(), digest);
  EXPECT_EQ(maud_.Try("sync").err, "") << "it is over";
  EXPECT_THAT(Audit(), HasSubstr("all is well"));
  EXPECT_THAT(maud_.Do("audit"), HasSubstr("all is well"));
  int kept = 0;
  for (const auto& file : std::filesystem::directory_iterator(maud_.home()))
    kept += file.path().filename().string().rfind("checkpoint.broken-", 0) == 0 ? 1 : 0;
  EXPECT_EQ(kept, 1) << "what the server had signed is kept";
}

// Two servers with one set of keys, each with a history of its own.
TEST_F(EvidenceTest, AFork) {
  ASSERT_EQ(server_.Stop(), 0);
  const std::string copy = folder_.path() + "/other";
  ASSERT_EQ(RunProgram({"/bin/cp", "-a", folder_.path() + "/server", copy}).exit_code, 0);
  ServerProcess other(copy);
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  ASSERT_NO_FATAL_FAILURE(other.Start());
  maud_.Do("read C1 1.070 19C");
  maud_.Do("sync");
  tobias_.Do({"server", "--address", other.address()});
  tobias_.Do("read C1 1.060 19C");
  tobias_.Do("sync");
  EXPECT_THAT(maud_.Do({"server", "--address", other.address()}), HasSubstr(other.address()));
  const Finished found = maud_.Try("sync");
  EXPECT_THAT(found.err, AllOf(HasSubstr("alarm:"), HasSubstr("does not begin any more")));
  // Nothing was lost by it: both come to the same cellar.
  SyncAll();
  EXPECT_EQ(maud_.Digest(), tobias_.Digest());
}

}  // namespace
}  // namespace rundlet::testing
