// Goal: two people with a client each, one server, one PostgreSQL - all of them the real ones - end
// with one and the same cellar, whatever the order in which they sync, whatever is late, held,
// amended or killed on the way. Method: programs are run as a person runs them; digests, boards and
// the server's own rebuild are compared.
#include <signal.h>

#include <algorithm>
#include <filesystem>
#include <thread>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

using ::testing::AllOf;
using ::testing::AnyOf;
using ::testing::ContainsRegex;
using ::testing::Eq;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kCircle[] = "Thistledown Wine Circle";

class TwoDevicesTest : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    Join(maud_, server_.NewCellar(kCircle, "Maud Ferrier"), "2025-09-13T08:00:00Z");
    maud_.Do("vessel new C1 C2 C3 --capacity 23L --kind carboy");
    maud_.Do("bin new Rack");
    maud_.Do("packet new \"potassium metabisulfite\" --name KMS-1 --amount 100g");
    maud_.SetClock("2025-09-13T10:00:00Z");
    maud_.Do("receive juice 20L --into C1 --lot White");
    maud_.Do("sync");
    Join(tobias_, server_.Invite(kCircle, "Tobias Wren"), "2025-09-13T11:00:00Z");
  }

  void Join(ClientProcess& client, const std::string& invitation, const std::string& now) {
    client.SetClock(now);
    client.Do({"join", invitation});
  }

  // Syncs until nobody has anything left to send, in the order given; then everybody must agree,
  // the server included.
  void SyncAndCompare(std::vector<ClientProcess*> order) {
    order.insert(order.end(), order.begin(), order.end());
    for (const ClientProcess* client : order) {
      EXPECT_THAT(client->Try("sync").exit_code, AnyOf(Eq(0), Eq(6)));
    }
    EXPECT_EQ(maud_.Digest(), tobias_.Digest());
    EXPECT_EQ(maud_.Do("board --json"), tobias_.Do("board --json"));
    const Finished rebuilt = server_.Admin({"rebuild", "--compare"});
    EXPECT_EQ(rebuilt.exit_code, 0) << rebuilt.out << rebuilt.err;
    const std::string digest = maud_.Digest().substr(0, 64);
    EXPECT_THAT(rebuilt.out, HasSubstr(digest)) << "the server folds to the same digest";
  }

  // The short id of the first entry of the log that contains `words`.
  static std::string EntryWith(const ClientProcess& client, const std::string& words) {
    const std::string log = client.Do("log --all");
    const size_t at = log.find(words);
    if (at == std::string::npos) {
      ADD_FAILURE() << "no entry says '" << words << "' in\n" << log;
      return "";
    }
    const size_t begin = log.rfind('\n', at);
    const std::vector<std::string> line =
        Words(log.substr(begin == std::string::npos ? 0 : begin + 1, 200));
    return line.empty() ? "" : line.front();
  }

  TempDir folder_;
  ServerProcess server_{folder_.path() + "/server"};
  ClientProcess maud_{folder_.path() + "/maud"};
  ClientProcess tobias_{folder_.path() + "/tobias"};
};

TEST_F(TwoDevicesTest, OfflineWorkOnBothMeets) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  maud_.Do("add C1 \"potassium metabisulfite\" 2g");
  maud_.Do("rack C1 C2 --lees 1L");
  tobias_.SetClock("2025-09-22T10:00:00Z");
  tobias_.Do("read C1 1.050 19C");  // his book still has the wine in C1
  EXPECT_NE(maud_.Digest(), tobias_.Digest());
  SyncAndCompare({&maud_, &tobias_});
  EXPECT_THAT(tobias_.Do("board"), HasSubstr("19 L"));
  EXPECT_THAT(tobias_.Do("held"), HasSubstr("C1 is empty"))
      << "the reading was of a vessel that was empty by then";
}

TEST_F(TwoDevicesTest, EveryOrderOfSyncingGivesOneCellar) {
  std::vector<ClientProcess*> order = {&maud_, &tobias_};
  int day = 14;
  for (int round = 0; round < 4; ++round) {
    const std::string at = "2025-09-" + std::to_string(day++) + "T10:00:00Z";
    maud_.SetClock(at);
    tobias_.SetClock(at);  // the same moment on two devices
    maud_.Do("draw sample C1 100mL");
    tobias_.Do("read C1 density=1.0" + std::to_string(80 - 10 * round));
    tobias_.Do("add C1 \"potassium metabisulfite\" 0.1g --at \"2025-09-13 12:00\"");  // back-dated
                                                                                      // each time
    SyncAndCompare(order);
    std::reverse(order.begin(), order.end());
  }
  EXPECT_THAT(maud_.Do("board"), HasSubstr("19.6 L"));
}

TEST_F(TwoDevicesTest, AHeldEntryCountsWhenTheMissingOneArrives) {
  tobias_.SetClock("2025-09-20T10:00:00Z");
  tobias_.Do("rack C1 C2 --lees 1L");
  maud_.SetClock("2025-09-21T10:00:00Z");
  maud_.Do("rack C2 C3 --lees 0.5L");  // her book has nothing in C2 yet
  EXPECT_THAT(maud_.Do("held"), HasSubstr("C2 is empty"));
  SyncAndCompare({&tobias_, &maud_});
  EXPECT_THAT(maud_.Do("held"), Not(HasSubstr("C2 is empty")));
  EXPECT_THAT(maud_.Do("show C3"), HasSubstr("18.5 L"));
}

TEST_F(TwoDevicesTest, AmendingVoidingAndLateEntries) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  maud_.Do("add C1 \"potassium metabisulfite\" 20g");
  maud_.Do("rack C1 C2 --lees 1L");
  SyncAndCompare({&maud_, &tobias_});

  tobias_.SetClock("2025-09-22T10:00:00Z");
  tobias_.Do("draw served C1 2L --at \"2025-09-19 18:00\"");  // before the racking
  const std::string slip = EntryWith(maud_, "added 20 g");
  maud_.SetClock("2025-09-22T11:00:00Z");
  maud_.Do({"amend", slip, "--reason", "read the balance wrong", "--", "add", "C1",
            "potassium metabisulfite", "2g"});
  SyncAndCompare({&tobias_, &maud_});
  EXPECT_THAT(maud_.Do("show C2"), HasSubstr("17 L")) << "20 less 2 served less 1 of lees";
  EXPECT_THAT(tobias_.Do("log C1"), HasSubstr("amended"));

  maud_.Do({"void", EntryWith(maud_, "drew 2 L"), "--reason", "that was another evening"});
  SyncAndCompare({&maud_, &tobias_});
  EXPECT_THAT(tobias_.Do("show C2"), HasSubstr("19 L"));
}

TEST_F(TwoDevicesTest, TwoAmendmentsOfOneEntryAgreeOnOne) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  maud_.Do("draw sample C1 1L");
  SyncAndCompare({&maud_, &tobias_});
  const std::string slip = EntryWith(maud_, "drew 1 L");
  maud_.Do({"amend", slip, "--", "draw", "sample", "C1", "2L"});
  tobias_.SetClock("2025-09-20T11:00:00Z");
  tobias_.Do({"amend", slip, "--", "draw", "sample", "C1", "3L"});
  SyncAndCompare({&maud_, &tobias_});
  EXPECT_THAT(maud_.Do("held"), HasSubstr("another amendment"));
}

TEST_F(TwoDevicesTest, TheServerMayBeKilledAnyTime) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  for (int round = 0; round < 3; ++round) {
    for (int i = 0; i < 20; ++i) maud_.Do("draw sample C1 10mL");
    server_.Kill();
    const Finished unreachable = maud_.Try("sync");
    EXPECT_EQ(unreachable.exit_code, 5) << unreachable.out << unreachable.err;
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    SyncAndCompare({&maud_, &tobias_});
  }
  EXPECT_THAT(tobias_.Do("show C1"), HasSubstr("19.4 L"));
  EXPECT_EQ(server_.Stop(), 0) << "a clean stop";
}

TEST_F(TwoDevicesTest, AServerOfAnotherCellarGetsNothing) {
  const std::string other = server_.NewCellar("Another Circle", "Agnes Holm");
  maud_.SetClock("2025-09-20T10:00:00Z");
  maud_.Do("draw sample C1 100mL");
  const std::string before = maud_.Digest();
  const Finished refused = maud_.Try({"join", other});
  EXPECT_NE(refused.exit_code, 0);
  EXPECT_EQ(maud_.Digest(), before);
  SyncAndCompare({&maud_, &tobias_});
}

TEST_F(TwoDevicesTest, ManyProcessesOnOneDeviceShareOneChain) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  std::vector<std::thread> hands;
  for (int hand = 0; hand < 8; ++hand) {
    hands.emplace_back([this] {
      for (int i = 0; i < 3; ++i) maud_.Do("draw sample C1 10mL");
    });
  }
  for (std::thread& hand : hands) hand.join();
  const std::string synced = maud_.Do("sync");
  EXPECT_THAT(synced, HasSubstr("24 sent"))
      << "the server takes a running number only once, and checks the chain";
  SyncAndCompare({&maud_, &tobias_});
  EXPECT_THAT(tobias_.Do("show C1"), HasSubstr("19.76 L"));
}

TEST_F(TwoDevicesTest, WhoBooksOneThingTwiceIsToldWhenTheySync) {
  maud_.Do("gear new \"press 1\" --kind press");
  maud_.Do("sync");
  tobias_.Do("sync");
  maud_.SetClock("2025-09-20T10:00:00Z");
  tobias_.SetClock("2025-09-20T11:00:00Z");
  maud_.Do("gear book \"press 1\" --who \"Maud Ferrier\" --from \"tomorrow 9:00\" --until 12:00");
  tobias_.Do("gear book \"press 1\" --who \"Tobias Wren\" --from \"tomorrow 11:00\" --until 15:00");
  maud_.Do("sync");
  EXPECT_THAT(tobias_.Do("sync"),
              HasSubstr("both want it: press 1: Maud Ferrier, 2025-09-21 09:00 to 12:00"));
  SyncAndCompare({&maud_, &tobias_});
}

// 24 bottles: 12 go to a tasting, of which 5 are poured and 6 come back; meanwhile the other counts
// the rack offline, before it, and finds one less than the book.
TEST_F(TwoDevicesTest, ATastingAndACountMeet) {
  maud_.SetClock("2025-10-20T10:00:00Z");
  maud_.Do("treat C1 filter");
  maud_.Do("bottle C1 --size 750mL --count 24 --bin Rack --run W25 --loss rest");
  maud_.Do("sync");
  tobias_.Do("sync");
  maud_.SetClock("2025-10-25T18:00:00Z");
  maud_.Do("occasion open Tasting --bring W25=12");
  maud_.SetClock("2025-10-25T22:00:00Z");
  maud_.Do("occasion close Tasting --served W25=5 --back \"W25=6 into Rack\"");
  tobias_.SetClock("2025-10-25T12:00:00Z");
  tobias_.Do("count Rack W25=23");
  SyncAndCompare({&tobias_, &maud_});
  EXPECT_THAT(maud_.Do("differences"),
              AllOf(ContainsRegex("Rack +W25, 750 mL +23 +24 +1 bottle less"),
                    ContainsRegex("Tasting +W25, 750 mL +0 +1 +1 bottle less")));
  EXPECT_EQ(maud_.Do("differences"), tobias_.Do("differences"));
  EXPECT_EQ(tobias_.Try("accept Rack --reason x").exit_code, 4) << "a hand accepts nothing";
  maud_.SetClock("2025-10-26T10:00:00Z");
  maud_.Do("accept Rack --reason \"nobody knows\"");
  tobias_.SetClock("2025-10-26T11:00:00Z");
  tobias_.Do("take W25 1 --from Tasting --reason breakage");
  SyncAndCompare({&tobias_, &maud_});
  EXPECT_THAT(tobias_.Do("differences"), HasSubstr("counts and the book agree"));
}

TEST_F(TwoDevicesTest, TraceIsTheSameOnBoth) {
  maud_.SetClock("2025-09-20T10:00:00Z");
  maud_.Do("add C1 \"potassium metabisulfite\" 2g");
  maud_.Do("treat C1 filter");
  maud_.Do("bottle C1 --size 750mL --count 24 --bin Rack --run \"White 1\" --loss rest");
  SyncAndCompare({&maud_, &tobias_});
  const std::string forward = tobias_.Do("trace forward KMS-1");
  EXPECT_EQ(forward, maud_.Do("trace forward KMS-1"));
  EXPECT_THAT(forward, HasSubstr("1.8 g")) << "18 of 20 L went into bottles";
  EXPECT_EQ(tobias_.Do("trace back \"White 1\""), maud_.Do("trace back \"White 1\""));
}

}  // namespace
}  // namespace rundlet::testing
