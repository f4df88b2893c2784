// Goal: what can be said of people and devices without a server is right: a cellar of one's own,
// what a role may not write, and entries that go from one device to another by a file.
// Method: commands run in this process on invented devices; files are damaged at each byte that
// counts.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <iostream>
#include <sstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/base/file.h"
#include "client/commands/handover_file.h"
#include "client/store/server_trust.h"
#include "client/testing/test_cellar.h"
#include "core/identity/invitation.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(IdentityTest, AHandMayNotWriteWhatIsAMasters) {
  TestCellar master(1), hand(2);
  master.Do("settings change --tolerance 2%");
  const std::string log = master.Do("log --json").out;
  const size_t at = log.find("\"entry_id\":\"");
  ASSERT_NE(at, std::string::npos) << log;
  const std::string id = log.substr(at + 12, 36);
  hand.Pull(master);
  const auto settings = hand.Run("settings change --tolerance 3%");
  EXPECT_EQ(settings.exit_code, 4);
  EXPECT_THAT(settings.err, AllOf(HasSubstr("cellar master"), HasSubstr("you are a hand here")));
  const auto voided = hand.Run(absl::StrCat("void ", id));
  EXPECT_EQ(voided.exit_code, 4) << "a void needs what its target needed\n" << voided.out;
  EXPECT_EQ(hand.Run("invite Nobody").exit_code, 4) << "before the network is asked";
  hand.Do("vessel new C1 --capacity 20L");
}

// A book of one's own in a directory of its own, made by the command.
class OwnBook {
 public:
  OwnBook() {
    EXPECT_TRUE(RemoveFile(cellar_.home().database()).ok());
    cellar_.Do("init 'Upper Cellar' --member 'Maud Ferrier' --device laptop");
  }
  TestCellar& cellar() { return cellar_; }

 private:
  TestCellar cellar_;
};

TEST(IdentityTest, ACellarOfOnesOwnNeedsNoServer) {
  OwnBook own;
  TestCellar& cellar = own.cellar();
  EXPECT_EQ(cellar.Run("init Another --member Somebody").exit_code, 1) << "there is one";
  cellar.Do("vessel new C1 --capacity 20L");
  cellar.Do("receive juice 10L --into C1 --lot White");
  EXPECT_THAT(cellar.Do("board").out, HasSubstr("10 L"));
  EXPECT_THAT(cellar.Do("member list").out, HasSubstr("Maud Ferrier"));
  EXPECT_THAT(cellar.Do("devices").out, AllOf(HasSubstr("laptop"), HasSubstr("master")));
  EXPECT_THAT(cellar.Do("server").out, HasSubstr("no server"));
  EXPECT_THAT(cellar.Do("status").out,
              AllOf(HasSubstr("in this book alone"), Not(HasSubstr("rundlet sync"))));
  EXPECT_EQ(cellar.Run("device key --new").exit_code, 1);
  EXPECT_FALSE(std::filesystem::exists(cellar.home().dir() + "/new-book"));
}

TEST(IdentityTest, AFileBringsEntriesToAnotherDevice) {
  TestCellar old(2), other(3);
  old.Do("vessel new C1 --capacity 20L");
  old.Do("receive juice 10L --into C1 --lot White --note 'by the door'");
  TempDir dir;
  const std::string file = dir.path() + "/rest";
  EXPECT_THAT(old.Do(absl::StrCat("handover ", file)).out, HasSubstr("White"));
  EXPECT_EQ(std::filesystem::status(file).permissions(),
            std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
  other.Do(absl::StrCat("takeover ", file, " --dry-run"));
  EXPECT_THAT(other.Do("board").out, Not(HasSubstr("10 L")));
  other.Do(absl::StrCat("takeover ", file));
  EXPECT_THAT(other.Do("board").out, HasSubstr("10 L"));
  EXPECT_THAT(other.Do("log --json").out,
              HasSubstr("by the door (taken over from Member 2's device 2)"));
  EXPECT_THAT(other.Do(absl::StrCat("takeover ", file)).out, HasSubstr("took over 0 entries"));

  // Whatever is damaged of it is seen, and nothing of it is taken.
  const std::string whole = *ReadFile(file);
  const size_t begin = whole.find("\"bytes\":\"") + 9;
  TestCellar third(4);
  for (const size_t at : {begin, begin + 20, whole.find("\"hash\"") + 10, whole.size() - 1}) {
    std::string damaged = whole;
    if (at == whole.size() - 1) {
      damaged.pop_back();
    } else {
      damaged[at] = damaged[at] == 'A' ? 'B' : 'A';
    }
    ASSERT_TRUE(WritePrivateFile(file, damaged).ok());
    EXPECT_NE(third.Run(absl::StrCat("takeover ", file)).exit_code, 0) << at;
  }
  EXPECT_EQ(third.OpenStore().Count()->outbox, 0);
}

// A handover of everything that waits here, also of what the command leaves out.
Handover Everything(TestCellar& cellar) {
  auto opened = OpenCellar(cellar.home());
  EXPECT_TRUE(opened.ok());
  auto handover = CollectHandover(*opened);
  EXPECT_TRUE(handover.ok());
  return *std::move(handover);
}

TEST(IdentityTest, AFileGivesNobodyAMastersRights) {
  TestCellar source(1), other(1);
  source.Do("vessel new C1 --capacity 20L");
  source.Do("settings change --tolerance 3%");
  const std::string log = source.Do("log --json").out;
  const std::string settings = log.substr(log.rfind("\"entry_id\":\"") + 12, 36);
  source.Do(absl::StrCat("void ", settings));
  source.Do("period close 2025-12-31 --anyway 'only a test'");
  source.Do("receive juice 10L --into C1 --lot White");
  TempDir dir;
  EXPECT_THAT(source.Do(absl::StrCat("handover ", dir.path(), "/honest")).out,
              AllOf(HasSubstr("left out: "), HasSubstr("only a cellar master writes that")));

  const std::string file = dir.path() + "/made-up";
  Handover handover = Everything(source);
  for (Handover::Item& item : handover.items) item.summary = "swept the floor";
  ASSERT_TRUE(WriteHandover(handover, file).ok());
  const auto taken = other.Do(absl::StrCat("takeover ", file));
  EXPECT_THAT(taken.out,
              AllOf(HasSubstr("White"), HasSubstr("left out: "), Not(HasSubstr("swept"))))
      << "what is shown is what the entries say";
  const std::string after = other.Do("log --all").out;
  EXPECT_THAT(after, AllOf(HasSubstr("White"), Not(HasSubstr("tolerance")),
                           Not(HasSubstr("closed")), Not(HasSubstr("void"))));
}

TEST(IdentityTest, AFileChangesNobodysKey) {
  TestCellar source(2), other(3);
  source.Enrol();
  source.Do("vessel new C1 --capacity 20L");
  Handover handover = Everything(source);
  Store store = source.OpenStore();
  ASSERT_TRUE(store
                  .ForEach(0,
                           [&](const StoredEntry& stored) {
                             auto entry = ReadEntry(stored.bytes);
                             EXPECT_TRUE(entry.ok());
                             if (entry->has_device_enrolled())
                               handover.items.push_back({.bytes = stored.bytes,
                                                         .entry = *entry,
                                                         .state = "outbox",
                                                         .summary = ""});
                             return absl::OkStatus();
                           })
                  .ok());
  ASSERT_TRUE(handover.items.back().entry.has_device_enrolled());
  TempDir dir;
  const std::string file = dir.path() + "/rest";
  ASSERT_TRUE(WriteHandover(handover, file).ok());
  const auto refused = other.Run(absl::StrCat("takeover ", file));
  EXPECT_EQ(refused.exit_code, 2);
  EXPECT_THAT(refused.err, AllOf(HasSubstr("key of a device"), HasSubstr("Nothing was taken")));
  EXPECT_EQ(other.OpenStore().Count()->outbox, 0);
}

// Standard input, for as long as this is there.
class Typed {
 public:
  explicit Typed(const std::string& text) : text_(text), old_(std::cin.rdbuf(text_.rdbuf())) {}
  ~Typed() {
    std::cin.rdbuf(old_);
    std::cin.clear();
  }

 private:
  std::istringstream text_;
  std::streambuf* old_;
};

TEST(IdentityTest, AnInvitationIsAskedForAndStandsInNoWords) {
  TestCellar cellar(2);
  auto key = evidence::SigningKey::FromSeed(std::string(32, 'k'));
  ASSERT_TRUE(key.ok());
  const std::string line = FormatInvitation({.server = "localhost:7117",
                                             .cellar_id = cellar.OpenStore().device().cellar_id,
                                             .key = *std::move(key),
                                             .expires_at_us = 4'000'000'000'000'000,
                                             .known = Invitation::Known::kPlainText},
                                            std::string(32, 'k'));
  std::vector<SyncCall> calls;
  cellar.env().run_sync = [&](const SyncCall& call) {
    calls.push_back(call);
    return SyncReport{.finished = true, .exit_code = 0, .out = ""};
  };
  {
    const Typed typed(line + "\n");
    cellar.Do("join --device phone");
  }
  ASSERT_EQ(calls.size(), 1u);
  EXPECT_THAT(calls[0].input, HasSubstr(line));
  EXPECT_THAT(absl::StrJoin(calls[0].words, " "), Not(HasSubstr("rdi1.")));
  const Typed nothing("\n");
  const auto empty = cellar.Run("join");
  EXPECT_EQ(empty.exit_code, 2);
  EXPECT_THAT(empty.err, HasSubstr("rundlet invite"));
  EXPECT_EQ(calls.size(), 1u);
}

TEST(IdentityTest, FingerprintsAreReadAsPeopleCopyThem) {
  const std::string hex(64, 'a');
  std::string colons;
  for (int i = 0; i < 32; ++i) absl::StrAppend(&colons, i == 0 ? "" : ":", "AA");
  ASSERT_TRUE(ParseFingerprint(hex).ok());
  EXPECT_EQ(*ParseFingerprint(hex), *ParseFingerprint(colons));
  EXPECT_EQ(FormatFingerprint(*ParseFingerprint(hex)), colons);
  for (const char* bad : {"", "aa", "no fingerprint at all"})
    EXPECT_FALSE(ParseFingerprint(bad).ok()) << bad;
  EXPECT_FALSE(ParseFingerprint(hex + "0").ok());
}

}  // namespace
}  // namespace rundlet::client
