// Goal: people and devices come in, change and leave by the client alone, and nothing that was
// written is lost on the way: a book that began without a server, a device that was revoked, one
// whose answer got lost, a server with another certificate.
// Method: the real programs; what they print, and what each device's book says afterwards.
#include <filesystem>
#include <fstream>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kCircle[] = "Thistledown Wine Circle";

// What stands behind a name in a line of JSON.
std::string JsonValue(const std::string& json, const std::string& name) {
  const std::string before = "\"" + name + "\":\"";
  const size_t at = json.find(before);
  if (at == std::string::npos) return "";
  const size_t begin = at + before.size();
  return json.substr(begin, json.find('"', begin) - begin);
}

class IdentityTest : public ::testing::Test {
 protected:
  void SetUp() override { ASSERT_NO_FATAL_FAILURE(server_.Start()); }

  // Maud makes the cellar and comes in.
  void MaudJoins() {
    maud_.Do({"join", server_.NewCellar(kCircle, "Maud Ferrier"), "--device", "cellar laptop"});
  }
  // Somebody comes in by an invitation that Maud makes.
  void Join(const ClientProcess& client, const std::string& name, const std::string& device,
            const std::string& role = "hand") {
    const std::string line =
        JsonValue(maud_.Do({"invite", name, "--role", role, "--json"}), "invitation");
    ASSERT_THAT(line, HasSubstr("rdi1."));
    client.Do({"join", line, "--device", device});
  }
  void SyncAll(std::vector<const ClientProcess*> clients) {
    for (int round = 0; round < 2; ++round) {
      for (const ClientProcess* client : clients) client->Do("sync");
    }
    for (const ClientProcess* client : clients) EXPECT_EQ(client->Digest(), maud_.Digest());
  }
  static std::string Status(const ClientProcess& client, const std::string& name) {
    return JsonValue(client.Do("status --json"), name);
  }

  TempDir folder_;
  ServerProcess server_{folder_.path() + "/server"};
  ClientProcess maud_{folder_.path() + "/maud"};
  ClientProcess tobias_{folder_.path() + "/tobias"};
  ClientProcess spare_{folder_.path() + "/spare"};
};

TEST_F(IdentityTest, AMasterLetsOthersInAndOut) {
  MaudJoins();
  const std::string invited = maud_.Do("invite \"Tobias Wren\" --valid 2d");
  EXPECT_THAT(invited, AllOf(HasSubstr("\u2588"), HasSubstr("as a hand, once, until"),
                             Not(HasSubstr("rundlet join rdi1."))));
  EXPECT_THAT(maud_.Do("invitations"), AllOf(HasSubstr("Tobias Wren"), HasSubstr("open")));
  std::ofstream(folder_.path() + "/line") << FirstInvitation(invited) << "\n";
  const std::string joined =
      tobias_.Do({"join", "--file", folder_.path() + "/line", "--device", "Tobias's laptop"});
  EXPECT_THAT(joined, HasSubstr("joined Thistledown Wine Circle as Tobias Wren (hand)"));
  EXPECT_THAT(maud_.Do("invitations"), HasSubstr("used"));
  const Finished used = spare_.Try({"join", FirstInvitation(invited)});
  EXPECT_EQ(used.exit_code, 1);
  EXPECT_THAT(used.err, HasSubstr("let another device in already"));

  tobias_.Do("vessel new C1 --capacity 23L");
  SyncAll({&tobias_, &maud_});
  EXPECT_THAT(maud_.Do("devices"), AllOf(HasSubstr("Tobias's laptop"), HasSubstr("this one")));
  EXPECT_THAT(maud_.Do("log --all"), HasSubstr("Tobias's laptop"));
  EXPECT_EQ(tobias_.Try("invite \"Colm Adeyemi\"").exit_code, 4);
  EXPECT_EQ(tobias_.Try("settings change --tolerance 3%").exit_code, 4);

  maud_.Do("member role \"Tobias Wren\" master");
  tobias_.Do("sync");
  tobias_.Do("settings change --tolerance 3%");
  SyncAll({&tobias_, &maud_});
  maud_.Do("member leave \"Tobias Wren\"");
  EXPECT_THAT(maud_.Do("devices"), HasSubstr("revoked"));
  const Finished refused = tobias_.Try("sync");
  EXPECT_EQ(refused.exit_code, 4);
  EXPECT_THAT(refused.err, HasSubstr("was revoked"));

  maud_.Do("invite \"Colm Adeyemi\"");
  maud_.Do("invitation revoke \"Colm Adeyemi\"");
  EXPECT_THAT(maud_.Do("invitations"), HasSubstr("revoked"));
  EXPECT_EQ(maud_.Do("audit").find("wrong"), std::string::npos);
}

TEST_F(IdentityTest, ABookOfOnesOwnBecomesThatOfACellar) {
  maud_.Do("init \"Upper Cellar\" --member \"Maud Ferrier\" --device \"cellar laptop\"");
  EXPECT_EQ(maud_.Try("init Another --member Somebody").exit_code, 1);
  maud_.Do("vessel new C1 C2 --capacity 23L");
  maud_.Do("receive juice 20L --into C1 --lot White");
  maud_.Do("rack C1 C2 --lees 1L");
  const Finished alone = maud_.Try("sync");
  EXPECT_EQ(alone.exit_code, 1);
  EXPECT_THAT(alone.err, AllOf(HasSubstr("no server"), HasSubstr("rundlet join")));
  EXPECT_THAT(maud_.Do("devices"), HasSubstr("cellar laptop"));
  const std::string member = Status(maud_, "member_id");
  const std::string log = maud_.Do("log --all");
  const std::string board = maud_.Do("board");

  const std::string joined = maud_.Do({"join", server_.NewCellar(kCircle, "Maud Ferrier")});
  EXPECT_THAT(joined, AllOf(HasSubstr("(master)"), HasSubstr("7 sent")));
  EXPECT_EQ(Status(maud_, "member_id"), member) << "the first master brings their book along";
  EXPECT_EQ(Status(maud_, "cellar_name"), kCircle);
  EXPECT_EQ(maud_.Do("board"), board);
  maud_.Do("read C2 1.010");
  maud_.Do("sync");
  const Finished rebuilt = server_.Admin({"rebuild", "--compare"});
  EXPECT_EQ(rebuilt.exit_code, 0) << rebuilt.out;
  EXPECT_THAT(rebuilt.out, HasSubstr(maud_.Digest().substr(0, 64)));

  // A second book comes into a cellar that has others.
  tobias_.Do("init \"Shed\" --member \"Tobias Wren\" --device shed");
  tobias_.Do("vessel new S1 --capacity 10L");
  tobias_.Do("receive juice 8L --into S1 --lot Cider");
  Join(tobias_, "Tobias Wren", "shed");
  SyncAll({&maud_, &tobias_});
  EXPECT_THAT(maud_.Do("board"), AllOf(HasSubstr("S1"), HasSubstr("8 L"), HasSubstr("19 L")));
  tobias_.Do("gear new press --kind press");
  tobias_.Do("gear book press --who \"Tobias Wren\" --from \"tomorrow 9:00\" --until 12:00");
  EXPECT_EQ(tobias_.Try("sync").exit_code, 0) << "there is one Tobias Wren";
}

TEST_F(IdentityTest, ALostAnswerIsAskedForAgain) {
  const std::string line = server_.NewCellar(kCircle, "Maud Ferrier");
  maud_.Do({"join", line});
  const std::string device = Status(maud_, "device_id");
  // As if the process had ended after the call, before its answer: the request alone is there.
  for (const char* file : {"cellar.db", "token", "server.crt"})
    std::filesystem::remove(maud_.home() + "/" + file);
  maud_.Do({"join", line});
  EXPECT_EQ(Status(maud_, "device_id"), device);
  maud_.Do("vessel new C1 --capacity 23L");
  EXPECT_THAT(maud_.Do("sync"), HasSubstr("1 sent"));
  for (const char* file : {"token", "device.key", "join-request", "cellar.db", "server.crt"}) {
    const auto mode = std::filesystem::status(maud_.home() + "/" + file).permissions();
    EXPECT_EQ(mode & std::filesystem::perms(0077), std::filesystem::perms::none) << file;
  }
}

TEST_F(IdentityTest, ABookThatCouldNotChangeStillKnowsItsServer) {
  maud_.Do("init \"Upper Cellar\" --member \"Maud Ferrier\"");
  maud_.Do("vessel new C1 --capacity 23L");
  const std::string line = server_.NewCellar(kCircle, "Maud Ferrier");
  // What is in the way is met after the server's answer, before the book is another one's.
  const std::string in_the_way = maud_.home() + "/checkpoint";
  std::filesystem::create_directories(in_the_way + "/x");
  EXPECT_NE(maud_.Try({"join", line}).exit_code, 0);
  EXPECT_FALSE(std::filesystem::exists(maud_.home() + "/server.crt"))
      << "the book is still that of a cellar without a server";
  EXPECT_EQ(Status(maud_, "cellar_name"), "Upper Cellar");
  std::filesystem::remove_all(in_the_way);
  maud_.Do({"join", line});
  EXPECT_TRUE(std::filesystem::exists(maud_.home() + "/server.crt"));
  EXPECT_EQ(Status(maud_, "cellar_name"), kCircle);
}

TEST_F(IdentityTest, WhatARevokedDeviceHoldsIsNotLost) {
  MaudJoins();
  maud_.Do("vessel new C1 --capacity 23L");
  maud_.Do("receive juice 20L --into C1 --lot White");
  Join(tobias_, "Tobias Wren", "old phone");
  SyncAll({&maud_, &tobias_});
  tobias_.Do("draw sample C1 1L");
  tobias_.Do("draw sample C1 2L");
  maud_.Do("device revoke \"old phone\"");
  EXPECT_EQ(tobias_.Try("sync").exit_code, 4);

  // Another device takes it over.
  const std::string file = folder_.path() + "/rest";
  EXPECT_THAT(tobias_.Do({"handover", file}), HasSubstr("2 entries are in"));
  EXPECT_EQ(tobias_.Try({"handover", file}).exit_code, 1) << "it overwrites nothing";
  EXPECT_THAT(maud_.Do({"takeover", file, "--dry-run"}), HasSubstr("would take over 2"));
  EXPECT_THAT(maud_.Do({"takeover", file}),
              AllOf(HasSubstr("Tobias Wren's old phone"), HasSubstr("took over 2 entries")));
  EXPECT_THAT(maud_.Do({"takeover", file}), HasSubstr("2 are here already"));
  maud_.Do("sync");
  EXPECT_THAT(maud_.Do("show C1"), HasSubstr("17 L"));

  // It comes back by another invitation, as a new device, with what it wrote meanwhile.
  tobias_.Do("draw sample C1 3L");
  const std::string before = Status(tobias_, "device_id");
  Join(tobias_, "Tobias Wren", "old phone");
  EXPECT_NE(Status(tobias_, "device_id"), before) << "the id of a revoked device is spent";
  SyncAll({&maud_, &tobias_});
  EXPECT_THAT(maud_.Do("show C1"), HasSubstr("14 L"));
  EXPECT_THAT(tobias_.Do("held"), HasSubstr("nothing is held, nothing was returned"));
}

TEST_F(IdentityTest, AnotherCertificateIsNotTakenForTheServers) {
  MaudJoins();
  maud_.Do("vessel new C1 --capacity 23L");
  ASSERT_EQ(server_.Stop(), 0);
  for (const char* file : {"tls.crt", "tls.key"})
    std::filesystem::remove(folder_.path() + "/server/data/" + file);
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  const std::string old = JsonValue(maud_.Do("server --json"), "fingerprint");
  const Finished other = maud_.Try("sync");
  EXPECT_EQ(other.exit_code, 1);
  EXPECT_THAT(other.err, AllOf(HasSubstr(old), HasSubstr("rundlet server --fingerprint")));
  const std::string shown = server_.Admin({"certificate"}).out;
  EXPECT_EQ(maud_.Try({"server", "--fingerprint", std::string(64, '0')}).exit_code, 1);
  EXPECT_EQ(JsonValue(maud_.Do("server --json"), "fingerprint"), old);
  maud_.Do({"server", "--fingerprint", shown.substr(0, shown.find('\n'))});
  EXPECT_NE(JsonValue(maud_.Do("server --json"), "fingerprint"), old);
  EXPECT_THAT(maud_.Do("sync"), HasSubstr("1 sent"));

  // An invitation of before the change meets a stranger, and sends nothing.
  const std::string line = server_.Invite(kCircle, "Tobias Wren");
  ASSERT_EQ(server_.Stop(), 0);
  for (const char* name : {"tls.crt", "tls.key"})
    std::filesystem::remove(folder_.path() + "/server/data/" + name);
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  const Finished stranger = tobias_.Try({"join", line});
  EXPECT_EQ(stranger.exit_code, 1);
  EXPECT_THAT(stranger.err, HasSubstr("is not the server of this invitation"));
  EXPECT_FALSE(std::filesystem::exists(tobias_.home() + "/device.key"));
}

TEST_F(IdentityTest, AnAuthorityThatDoesNotVouchIsNotBelieved) {
  MaudJoins();
  const std::string before = maud_.Do("server --json");
  const Finished other = maud_.Try("server --authority");
  EXPECT_EQ(other.exit_code, 1);
  EXPECT_THAT(other.err, HasSubstr("Nothing was changed"));
  EXPECT_EQ(maud_.Do("server --json"), before);
}

TEST_F(IdentityTest, AnInvitationThatHasExpiredLetsNobodyIn) {
  MaudJoins();
  const std::string line = server_.Invite(kCircle, "Tobias Wren");
  ASSERT_EQ(server_
                .Sql("update rundlet.invitation set created_at = now() - interval '2 days', "
                     "expires_at = now() - interval '1 day' where member_name = 'Tobias Wren'")
                .exit_code,
            0);
  const Finished late = tobias_.Try({"join", line});
  EXPECT_EQ(late.exit_code, 1);
  EXPECT_THAT(late.err, HasSubstr("has expired: ask a cellar master for a new one"));
  tobias_.Do({"join", server_.Invite(kCircle, "Tobias Wren")});
}

TEST_F(IdentityTest, TheJournalSaysWhoWasInvitedBeforeTheyComeIn) {
  MaudJoins();
  maud_.Do("vessel new C1 --capacity 23L");
  maud_.Do("receive juice 20L --into C1 --lot White");
  Join(tobias_, "Tobias Wren", "phone");  // Maud has not synced by herself in between
  tobias_.Do("draw sample C1 1L");
  SyncAll({&tobias_, &maud_});
  const std::string file = folder_.path() + "/white.html";
  maud_.Do({"dossier", "White", "--to", file});
  EXPECT_THAT(spare_.Do({"audit", file}), HasSubstr("all that it says to prove holds"));
}

TEST_F(IdentityTest, ADeviceChangesItsKey) {
  MaudJoins();
  const std::string old = maud_.Do("device key");
  maud_.Do("vessel new C1 --capacity 23L");
  maud_.Do("device key --new");
  EXPECT_EQ(maud_.Do("device key"), old) << "the old one signs until the server has the new one";
  EXPECT_EQ(maud_.Try("device key --new").exit_code, 1) << "one at a time";
  maud_.Do("sync");
  EXPECT_NE(maud_.Do("device key"), old);
  EXPECT_FALSE(std::filesystem::exists(maud_.home() + "/device.key.next"));
  maud_.Do("vessel new C2 --capacity 23L");
  EXPECT_THAT(maud_.Do("sync"), HasSubstr("1 sent"));
  Join(tobias_, "Tobias Wren", "phone");
  EXPECT_EQ(tobias_.Try("audit").exit_code, 0);
}

TEST_F(IdentityTest, AGuestReadsUntilTheyAreMore) {
  MaudJoins();
  maud_.Do("vessel new C1 --capacity 23L");
  maud_.Do("sync");
  Join(tobias_, "Isolde Thornbury", "tablet", "guest");
  EXPECT_THAT(tobias_.Do("board"), HasSubstr("C1"));
  const Finished refused = tobias_.Try("vessel new C2 --capacity 23L");
  EXPECT_EQ(refused.exit_code, 4);
  EXPECT_THAT(refused.err, HasSubstr("you are a guest here"));
  EXPECT_THAT(tobias_.Do("log --all"), Not(HasSubstr("tablet")));
  maud_.Do("member role \"Isolde Thornbury\" hand");
  tobias_.Do("sync");
  EXPECT_THAT(tobias_.Do("log --all"), HasSubstr("tablet"));
  tobias_.Do("vessel new C2 --capacity 23L");
  SyncAll({&tobias_, &maud_});
}

TEST_F(IdentityTest, WhatIsNoInvitationIsSaidSoAtOnce) {
  const std::string line = server_.NewCellar(kCircle, "Maud Ferrier");
  const Finished half = maud_.Try({"join", line.substr(0, line.size() - 7)});
  EXPECT_EQ(half.exit_code, 2);
  EXPECT_THAT(half.err, HasSubstr("copy the whole line"));
  EXPECT_EQ(maud_.Try("join hello").exit_code, 2);
  EXPECT_EQ(maud_.Try("join").exit_code, 2);
  maud_.Do({"join", line});
  EXPECT_EQ(server_.Stop(), 0);
  maud_.Do("vessel new C1 --capacity 23L");
  const Finished away = maud_.Try("invite \"Tobias Wren\"");
  EXPECT_EQ(away.exit_code, 1);
  EXPECT_THAT(away.err, HasSubstr("does not answer: nothing listens there: is it started?"));
  EXPECT_THAT(maud_.Do("log --all"), Not(HasSubstr("Tobias Wren"))) << "nobody was invited";
  EXPECT_THAT(maud_.Do("devices"), HasSubstr("this one")) << "from the book alone";
}

}  // namespace
}  // namespace rundlet::testing
