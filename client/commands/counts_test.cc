// Goal: a tasting and a stocktake are reconciled by commands without arithmetic: what was taken
// along is accounted for, counts are held against their own moment, differences end explained or
// accepted. Method: command lines in this process, against an invented cellar.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/base/exit_code.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;

class CountsTest : public ::testing::Test {
 protected:
  // 24 bottles of 750 mL in Rack A, 12 of 375 mL in Rack B.
  CountsTest() {
    cellar_.Do("vessel new C1 C2 --capacity 30L");
    cellar_.Do("bin new 'Rack A' --bottles 30");
    cellar_.Do("bin new 'Rack B' 'shelf 1' --inside 'Rack A'");
    cellar_.Do("receive juice 23L --into C1 --lot 'Orchard White 26'");
    cellar_.Do("treat C1 filter");
    cellar_.Do(
        "bottle C1 --size 750mL --count 24 --bin 'Rack A' --size 375mL --count 12 --bin 'Rack B' "
        "--run OW26 --loss rest");
    cellar_.Advance(absl::Minutes(10));
  }
  std::string Say(const std::string& line) {
    const auto result = cellar_.Do(line);
    cellar_.Advance(absl::Minutes(1));
    return result.err + result.out;
  }
  TestCellar cellar_;
};

TEST_F(CountsTest, ATastingFromBeginningToEnd) {
  Say("occasion open 'Autumn tasting' --place 'village hall' --bring 'OW26@750mL=12 from Rack A'");
  EXPECT_THAT(Say("occasion open 'Autumn tasting' --bring OW26@375mL=2"),
              HasSubstr("Autumn tasting  0 -> 2"));
  EXPECT_THAT(Say("occasion list"),
              ContainsRegex("Autumn tasting  2026-03-02  open +14 +0 +0 +14"));
  const std::string closed =
      Say("occasion close 'Autumn tasting' --back 'OW26@750mL=4 into Rack A' --sold OW26@750mL=1 "
          "--breakage OW26@750mL=1 --served OW26@750mL=5 --served OW26@375mL=rest");
  EXPECT_THAT(closed, AllOf(HasSubstr("1 of OW26 are neither back nor gone"), HasSubstr("Rack A"),
                            HasSubstr("closed Autumn tasting")));
  EXPECT_THAT(Say("occasion show 'Autumn tasting'"),
              AllOf(HasSubstr("served"), HasSubstr("breakage"), HasSubstr("closed")));
  EXPECT_THAT(Say("differences"), AllOf(HasSubstr("Autumn tasting"), HasSubstr("1 bottle less"),
                                        HasSubstr("rundlet accept \"Autumn tasting\"")));
  EXPECT_THAT(cellar_.Run("occasion open 'Autumn tasting' --bring OW26@750mL=1").err,
              HasSubstr("closed already"));
  Say("accept 'Autumn tasting' --reason 'nobody knows'");
  EXPECT_THAT(Say("differences"), HasSubstr("counts and the book agree"));
  EXPECT_THAT(Say("occasion show 'Autumn tasting' --json"), HasSubstr("\"counted\":1"));
  EXPECT_THAT(Say("log 'Autumn tasting'"), HasSubstr("nobody knows"));
}

TEST_F(CountsTest, MoreThanWasBroughtCannotBeGone) {
  Say("occasion open Market --bring 'OW26@750mL=2'");
  const auto refused = cellar_.Run("occasion close Market --served OW26=3");
  EXPECT_EQ(refused.exit_code, kExitUsage);
  EXPECT_THAT(refused.err, HasSubstr("more than was brought"));
  EXPECT_THAT(cellar_.Run("occasion close Market --back OW26=1").err, HasSubstr("into which bin?"));
  EXPECT_THAT(cellar_.Run("occasion close 'Rack A'").err, HasSubstr("is a bin"));
}

TEST_F(CountsTest, ASheetIsCountedByAndEntered) {
  TempDir dir;
  const std::string path = absl::StrCat(dir.path(), "/sheet.txt");
  const std::string blank = Say("count sheet");
  EXPECT_THAT(blank, AllOf(HasSubstr("bin: Rack A\nOW26@750mL =\n"), Not(HasSubstr("24"))));
  std::ofstream(path) << absl::StrReplaceAll(
      blank, {{"OW26@750mL =", "OW26@750mL = 22"}, {"OW26@375mL =", "OW26@375mL = 12"}});
  const std::string entered = Say(absl::StrCat("count enter ", path));
  EXPECT_THAT(entered, AllOf(HasSubstr("2 bottles less than the book"), HasSubstr("1 difference")));
  EXPECT_THAT(Say("show 'Rack A'"), HasSubstr("24")) << "the book stays";
  // What was forgotten is filed before the count, and explains it.
  Say("take OW26@750mL 2 --reason gift --at '3 minutes ago'");
  EXPECT_THAT(Say("differences"), HasSubstr("agree"));
  std::ofstream(path) << "bin: Rack A\nOW27 = 3\n";
  EXPECT_THAT(cellar_.Run(absl::StrCat("count enter ", path)).err, HasSubstr("line 2"));
  EXPECT_EQ(cellar_.Run("count enter /nowhere").exit_code, kExitError);
}

TEST_F(CountsTest, AnAcceptedCountHoldsAtItsOwnMoment) {
  Say("count 'Rack A' OW26@750mL=23");
  Say("take OW26@750mL 3 --reason served");
  Say("accept 'Rack A' --reason 'broken, perhaps'");
  EXPECT_THAT(Say("show 'Rack A'"), HasSubstr("20"));
  EXPECT_THAT(cellar_.Run("accept 'Rack A' --reason again").err,
              HasSubstr("no open difference at 'Rack A'"));
}

TEST_F(CountsTest, AChangeThatPutsACountAtOddsSaysSo) {
  EXPECT_THAT(Say("take OW26@750mL 1 --reason served"), Not(HasSubstr("no longer agrees")));
  Say("count 'Rack A' OW26@750mL=23");
  cellar_.Advance(absl::Minutes(10));
  const std::string late = Say("take OW26@750mL 2 --reason gift --at '8 min ago'");
  EXPECT_THAT(late, Not(HasSubstr("no longer agrees"))) << "after the count";
  EXPECT_THAT(Say("take OW26@750mL 2 --reason gift --at '13 min ago'"),
              AllOf(HasSubstr("the count of Rack A no longer agrees with the book"),
                    HasSubstr("2 bottles more than the book"), HasSubstr("rundlet differences")));
  EXPECT_THAT(Say("take OW26@750mL 1 --reason gift"), Not(HasSubstr("no longer agrees")))
      << "it was so before";
}

// What was counted again since is not taken from the old count.
TEST_F(CountsTest, OnlyWhatIsStillOpenIsAccepted) {
  Say("move OW26@375mL 12 --to 'Rack A'");
  Say("count 'Rack A' OW26@750mL=22 OW26@375mL=9");
  Say("count 'Rack A' OW26@375mL=12");
  EXPECT_THAT(Say("differences"), AllOf(HasSubstr("2 bottles less"), Not(HasSubstr("3 bottles"))));
  Say("accept 'Rack A' --reason 'nobody knows'");
  EXPECT_THAT(Say("differences"), HasSubstr("counts and the book agree"));
  EXPECT_THAT(Say("show 'Rack A'"), AllOf(HasSubstr("22"), HasSubstr("12")));
}

// At an occasion that goes on a count is one of its own moment, and no end.
TEST_F(CountsTest, ACountAtAnOccasionThatIsOpen) {
  Say("occasion open Fair --bring OW26@750mL=4");
  Say("count Fair OW26@750mL=3");
  Say("take OW26@750mL 2 --from Fair --reason sold");
  Say("accept Fair --reason 'broken, perhaps'");
  EXPECT_THAT(Say("occasion show Fair"), ContainsRegex("OW26 +750 mL +4 +0 +2 +1 +1"));
}

TEST_F(CountsTest, BottlesThatACountFoundHoldNoWineToGiveBack) {
  Say("bottling new Ghost");
  Say("count 'Rack B' Ghost@750mL=2 --adopt");
  EXPECT_THAT(Say("empty Ghost@750mL 2 --from 'Rack B' --into C2 --dry-run"),
              HasSubstr("needs 1.5 L, but Ghost holds"));
}

TEST_F(CountsTest, VesselsAreCountedToo) {
  Say("receive juice 20L --into C2 --lot Elder");
  EXPECT_THAT(Say("count C2 19.5L"), AllOf(HasSubstr("the book has 20 L"), HasSubstr("stays")));
  EXPECT_THAT(Say("count C2 19.4L --blind"), Not(HasSubstr("the book has")));
  EXPECT_THAT(Say("differences"), HasSubstr("600 mL less than the book"));
  Say("accept C2 --reason evaporation");
  EXPECT_THAT(Say("board"), HasSubstr("19.4 L"));
}

TEST_F(CountsTest, OpenedBottlesAndBottlesThatAreEmptiedAgain) {
  Say("open OW26@750mL 2 --left 900mL");
  EXPECT_THAT(Say("show OW26"), ContainsRegex("opened +2 +750 mL +OW26"));
  EXPECT_THAT(cellar_.Run("finish OW26 3 --reason served --dry-run").out,
              HasSubstr("needs 3 bottles, but 2 stand opened"));
  EXPECT_THAT(Say("finish OW26 all --reason served"), HasSubstr("finished 2 x 750 mL of OW26"));
  EXPECT_THAT(cellar_.Run("finish OW26 1 --reason dump").err, HasSubstr("stands opened"));
  EXPECT_THAT(Say("empty OW26@750mL 12 --from 'Rack A' --into C1=8.9L"),
              AllOf(HasSubstr("burst"), HasSubstr("C1      empty -> 8.9 L Orchard White 26")));
  EXPECT_THAT(Say("trace back C1"), HasSubstr("Orchard White 26"));
}

TEST_F(CountsTest, ABinThatIsTooSmallSaysSo) {
  EXPECT_THAT(Say("move OW26@375mL 12 --to 'Rack A'"), HasSubstr("has room for 30"));
}

TEST_F(CountsTest, CostsAndShares) {
  Say("settings change --currency eur");
  Say("member new Maud Colm");
  Say("packet new corks --name CORK-1 --amount 100pcs --cost 20.00");
  Say("receive juice 9L --into C2 --lot Elder --cost 36.00");
  Say("contribute Elder --who Maud --money 30");
  Say("contribute Elder --who Colm --work 2h --worth 15.00");
  Say("treat C2 filter");
  Say("bottle C2 --size 750mL --count 10 --low 2 --low-fill 600mL --bin 'Rack B' --run E26 --use "
      "corks=12 --loss rest");
  // 36.00 of juice and 12 of 100 corks for 20.00 are 38.40, over 12 bottles 3.20 each.
  EXPECT_THAT(Say("costs Elder"), AllOf(HasSubstr("together 38.40 EUR"), HasSubstr("3.20 EUR")));
  EXPECT_THAT(Say("costs"), HasSubstr("17.60 EUR is in stock"));
  // 30 to 15: 8 and 4 of 12.
  Say("take E26 3 --reason share --person Maud");
  EXPECT_THAT(Say("shares Elder"), AllOf(ContainsRegex("Maud +30.00 EUR +8 +3 +5"),
                                         ContainsRegex("Colm +15.00 EUR +120 min +4 +0 +4")));
  Say("cost 4.80 --for excise --lot Elder --excise");
  EXPECT_THAT(Say("costs Elder"), HasSubstr("together 43.20 EUR"));
  EXPECT_THAT(cellar_.Run("cost nothing --for x").err, HasSubstr("write it as 12.50"));
  EXPECT_THAT(cellar_.Run("contribute Elder --who Maud").err, HasSubstr("what was it?"));
}

}  // namespace
}  // namespace rundlet::client
