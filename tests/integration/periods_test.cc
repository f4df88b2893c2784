// Goal: a year that a master closes stays closed on every device and server, what was written
// offline meanwhile finds its way, and a lot of it can be shown to outsiders who check it alone.
// Method: two people with a real client each, the real server and database; the check by hand that
// docs/dossier.md shows is run as it stands there.
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

class PeriodsTest : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    maud_.SetClock("2025-10-01T10:00:00Z");
    maud_.Do({"join", server_.NewCellar(kCircle, "Maud Ferrier")});
    maud_.Do("vessel new C1 C2 --capacity 23L");
    maud_.Do("bin new Rack");
    maud_.Do("packet new \"potassium metabisulfite\" --name KMS-1 --code 77-104 --amount 100g");
    maud_.Do("receive juice 20L --into C1 --lot White");
    maud_.Do("sync");
    tobias_.SetClock("2025-10-02T10:00:00Z");
    tobias_.Do({"join", server_.Invite(kCircle, "Tobias Wren")});
  }

  static std::string Saved(const std::string& out) {
    const size_t at = out.find("saved as ");
    return at == std::string::npos ? "?" : out.substr(at + 9, 8);
  }
  // Syncs, whatever is held or returned by it.
  static void Sync(const ClientProcess& client) {
    const int code = client.Try("sync").exit_code;
    EXPECT_TRUE(code == 0 || code == 6) << code;
  }
  void ExpectAgreement() {
    Sync(maud_);
    Sync(tobias_);
    Sync(maud_);
    EXPECT_EQ(maud_.Digest(), tobias_.Digest());
    const Finished rebuilt = server_.Admin({"rebuild", "--compare"});
    EXPECT_EQ(rebuilt.exit_code, 0) << rebuilt.out << rebuilt.err;
  }

  TempDir folder_;
  ServerProcess server_{folder_.path() + "/server"};
  ClientProcess maud_{folder_.path() + "/maud"};
  ClientProcess tobias_{folder_.path() + "/tobias"};
};

TEST_F(PeriodsTest, AYearIsClosedReopenedAndClosedAgain) {
  // Tobias is away, and writes into the year.
  tobias_.SetClock("2025-12-30T10:00:00Z");
  const std::string late = Saved(tobias_.Do("draw sample C1 500mL"));
  maud_.SetClock("2026-01-10T10:00:00Z");
  const std::string closed = maud_.Do("period close 2025-12-31");
  Sync(maud_);
  EXPECT_THAT(maud_.Do("held"), HasSubstr("nothing is held"));

  tobias_.SetClock("2026-01-11T10:00:00Z");
  EXPECT_EQ(tobias_.Try("sync").exit_code, 6);
  EXPECT_THAT(tobias_.Do("held"), AllOf(HasSubstr(late),
                                        HasSubstr("the book is closed up to the "
                                                  "end of 2025-12-31"),
                                        HasSubstr("rundlet amend " + late + " --at TIME")));
  EXPECT_THAT(maud_.Do("show C1"), HasSubstr("20 L"));
  // He dates it anew, and it counts.
  const std::string anew = Saved(tobias_.Do("amend " + late + " --at 2026-01-02"));
  ExpectAgreement();
  EXPECT_THAT(maud_.Do("show C1"), HasSubstr("19.5 L"));
  EXPECT_THAT(maud_.Do("report register --year 2025"),
              AllOf(HasSubstr("closed up to the end of 2025-12-31, by Maud Ferrier"),
                    HasSubstr("it is as it was then")));

  // It was December after all: Maud reopens, he moves it back, she closes again.
  const Finished refused = tobias_.Try("amend " + anew + " --at \"2025-12-30 10:00\"");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_EQ(tobias_.Try("period reopen 2025-12-30 --reason x").exit_code, 4);
  maud_.SetClock("2026-01-12T10:00:00Z");
  maud_.Do("period reopen 2025-12-30 --reason \"a sample was forgotten\"");
  ExpectAgreement();
  tobias_.SetClock("2026-01-12T11:00:00Z");
  tobias_.Do("amend " + anew + " --at \"2025-12-30 10:00\"");
  ExpectAgreement();
  EXPECT_THAT(maud_.Do("report register --year 2025"),
              AllOf(HasSubstr("CHANGED SINCE IT WAS CLOSED"), HasSubstr("a sample was forgotten")));
  maud_.SetClock("2026-01-13T10:00:00Z");
  maud_.Do("period close 2025-12-31");
  ExpectAgreement();
  EXPECT_THAT(tobias_.Do("period list"),
              AllOf(HasSubstr("it is as it was then"), Not(HasSubstr("CHANGED"))));
  EXPECT_EQ(tobias_.Try("draw sample C1 100mL --at 2025-12-31").exit_code, 1);
}

TEST_F(PeriodsTest, AClosingThatHadNotSeenEverythingComesBack) {
  tobias_.SetClock("2025-12-30T10:00:00Z");
  tobias_.Do("draw sample C1 500mL");
  maud_.SetClock("2026-01-10T10:00:00Z");
  const std::string blind = Saved(maud_.Do("period close 2025-12-31"));
  Sync(tobias_);  // he is faster
  EXPECT_EQ(maud_.Try("sync").exit_code, 6);
  EXPECT_THAT(maud_.Do("held"),
              AllOf(HasSubstr("had not seen all of it"), HasSubstr("Tobias Wren"),
                    HasSubstr("rundlet period close DATE"), HasSubstr("rundlet void " + blind)));
  EXPECT_THAT(maud_.Do("period list"), HasSubstr("nothing is closed"));
  maud_.Do("void " + blind);
  maud_.Do("period close 2025-12-31");
  ExpectAgreement();
  EXPECT_THAT(tobias_.Do("period list"), HasSubstr("it is as it was then"));
}

TEST_F(PeriodsTest, ARestartedServerKeepsItClosed) {
  maud_.SetClock("2026-01-10T10:00:00Z");
  maud_.Do("period close 2025-12-31");
  Sync(maud_);
  server_.Kill();
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  tobias_.SetClock("2026-01-11T10:00:00Z");
  tobias_.Do("draw sample C1 500mL --at \"2025-12-30 10:00\"");
  EXPECT_EQ(tobias_.Try("sync").exit_code, 6);
  EXPECT_THAT(tobias_.Do("held"),
              AllOf(HasSubstr("the book is closed"), Not(HasSubstr("It was reopened since"))));
  maud_.SetClock("2026-01-12T10:00:00Z");
  maud_.Do("period reopen 2025-12-30 --reason \"a sample was forgotten\"");
  Sync(maud_);
  EXPECT_EQ(tobias_.Try("sync").exit_code, 6);
  EXPECT_THAT(tobias_.Do("held"), HasSubstr("It was reopened since"));
}

// The script of docs/dossier.md.
std::string CheckByHand(const std::string& folder) {
  std::ifstream page(std::string(RUNDLET_SOURCE_DIR) + "/docs/dossier.md");
  const std::string path = folder + "/check.sh";
  std::ofstream script(path);
  bool in_block = false;
  for (std::string line; std::getline(page, line);) {
    if (line == "```") in_block = false;
    if (in_block) script << line << "\n";
    if (line == "```bash") in_block = true;
  }
  return path;
}

TEST_F(PeriodsTest, AStrangerChecksADossier) {
  tobias_.SetClock("2025-10-03T10:00:00Z");
  tobias_.Do("add C1 \"potassium metabisulfite\" 1g");
  Sync(tobias_);
  maud_.SetClock("2025-11-01T10:00:00Z");
  Sync(maud_);
  maud_.Do("rack C1 C2 --lees 1L");
  maud_.Do("treat C2 filter");
  maud_.Do("bottle C2 --size 750mL --count 24 --bin Rack --run W25 --loss rest");
  Sync(maud_);
  maud_.Do("note White <script>alert(1)</script>");  // not synced
  const std::string page = folder_.path() + "/white.html";
  const std::string json = folder_.path() + "/white.json";
  const std::string made = maud_.Do({"dossier", "White", "--to", page});
  maud_.Do({"dossier", "White", "--to", json});
  const size_t key_at = made.find("--key ") + 6;
  const std::string key = made.substr(key_at, made.find('\n', key_at) - key_at);

  // A machine that has never seen the cellar.
  const ClientProcess stranger(folder_.path() + "/nowhere");
  for (const std::string& file : {page, json}) {
    const std::string said = stranger.Do({"audit", file, "--key", key});
    EXPECT_THAT(said, AllOf(HasSubstr("racked"), HasSubstr("Tobias Wren"), HasSubstr("added 1 g"),
                            HasSubstr("all that it says to prove holds"),
                            HasSubstr("not proven: that nothing was left out")));
    EXPECT_THAT(said, Not(HasSubstr("alert(1)"))) << "it has no place in the journal";
    const Finished by_hand = RunProgram({"/bin/bash", CheckByHand(folder_.path()), file});
    EXPECT_EQ(by_hand.exit_code, 0) << by_hand.out << by_hand.err;
    EXPECT_THAT(by_hand.out, AllOf(HasSubstr("Signature Verified Successfully"),
                                   HasSubstr("is in the journal that was signed")));
  }
  EXPECT_FALSE(std::filesystem::exists(folder_.path() + "/nowhere"));
  EXPECT_EQ(stranger.Try({"audit", page, "--key", "rundletd+00000000+AAAA"}).exit_code, 2);

  // A digit of it is another one.
  std::ifstream in(json);
  std::string text((std::istreambuf_iterator<char>(in)), {});
  const size_t at = text.find("\"bytes\": \"") + 40;
  text[at] = text[at] == 'A' ? 'B' : 'A';
  std::ofstream(folder_.path() + "/bent.json") << text;
  const Finished bent = stranger.Try({"audit", folder_.path() + "/bent.json"});
  EXPECT_EQ(bent.exit_code, 1) << bent.out << bent.err;
  EXPECT_THAT(bent.out, HasSubstr("wrong: the file is not as it was made"));
  const Finished by_hand =
      RunProgram({"/bin/bash", CheckByHand(folder_.path()), folder_.path() + "/bent.json"});
  EXPECT_NE(by_hand.exit_code, 0);
  EXPECT_THAT(by_hand.out, HasSubstr("NOT in the journal"));
}

}  // namespace
}  // namespace rundlet::testing
