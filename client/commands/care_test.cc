// Goal: gear is cleaned, lent, booked and checked by the commands, and what is to be bought is
// told. Method: command lines run in this process against a real store of the invented circle.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "absl/strings/str_cat.h"
#include "client/base/exit_code.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;

class CareTest : public ::testing::Test {
 protected:
  CareTest() {
    cellar_.Do("vessel new C1 --capacity 23L --kind carboy --of glass");
    cellar_.Do("gear new 'press 1' --kind press");
    cellar_.Do("gear new 'hydrometer 2' --kind hydrometer");
    cellar_.Do("member new 'Maud Ferrier' 'Colm Adeyemi'");
  }
  TestCellar cellar_;
};

TEST_F(CareTest, SanitisingIsKeptWithItsAgentAndCautions) {
  const auto done = cellar_.Do(
      "sanitise C1 'press 1' --with 'metabisulfite and citric acid' --strength 10g/L --minutes 10 "
      "--temperature 140F --rinse-needed");
  EXPECT_THAT(done.out + done.err,
              AllOf(HasSubstr("sanitised C1, press 1 with metabisulfite and citric acid"),
                    HasSubstr("asthma"), HasSubstr("C1 is of glass: hot water cracks it"),
                    HasSubstr("--rinsed")));
  EXPECT_THAT(cellar_.Do("show C1").out, HasSubstr("sanitised"));
  EXPECT_THAT(cellar_.Do("log 'press 1'").out, HasSubstr("for 10 min"));
  EXPECT_THAT(cellar_.Run("sanitise C1").err, HasSubstr("with what?"));
  EXPECT_THAT(cellar_.Run("sanitise C9 --with water").err, HasSubstr("gear new"));
  EXPECT_THAT(cellar_.Run("sanitise C1 --with water --temperature warm").err,
              HasSubstr("write 60C or 140F"));
}

// Lye wants to be rinsed though nobody says so, and nothing is cleaned with wine in it.
TEST_F(CareTest, LyeIsNeverLeftInAVesselNorPutToWine) {
  cellar_.Do("vessel new C2 --capacity 23L");
  EXPECT_THAT(cellar_.Do("sanitise C2 --with 'caustic soda' --strength 20g/L").err,
              HasSubstr("rinsed before use"));
  cellar_.Do("receive juice 20L --into C1 --lot Plain");
  EXPECT_THAT(cellar_.Do("sanitise C1 --with water").err,
              HasSubstr("C1 holds 20 L by the book: never clean a vessel with wine in it"));
  EXPECT_THAT(cellar_.Do("rack C1 C2 --lees 1L").err, HasSubstr("rins"));
}

TEST_F(CareTest, LentBookedAndBack) {
  cellar_.Do("gear lend 'press 1' --to 'Maud Ferrier' --until 'next fri 18:00' --condition good");
  EXPECT_THAT(cellar_.Do("gear claims").out,
              AllOf(HasSubstr("Maud Ferrier"), HasSubstr("2026-03-06 18:00"), HasSubstr("lent")));
  EXPECT_THAT(cellar_.Do("show 'press 1'").out, HasSubstr("press 1 is with Maud Ferrier until"));
  const auto booked = cellar_.Do(
      "gear book 'press 1' --who 'Colm Adeyemi' --from 'next fri 17:00' --until 20:00 --for "
      "pressing");
  EXPECT_THAT(booked.out + booked.err, HasSubstr("Maud Ferrier has it"));
  EXPECT_THAT(cellar_.Do("gear claims").out,
              AllOf(HasSubstr("2026-03-06 17:00 to 20:00"), HasSubstr("both want it: press 1"),
                    HasSubstr("rundlet void")));
  EXPECT_THAT(cellar_.Do("gear claims --json").out, HasSubstr("\"clashes\":[["));
  cellar_.Do("gear return 'press 1' --condition 'seal worn'");
  EXPECT_THAT(cellar_.Do("gear claims").out,
              AllOf(Not(HasSubstr("Maud Ferrier")), Not(HasSubstr("both want it"))));
  EXPECT_THAT(cellar_.Do("show 'press 1'").out, HasSubstr("seal worn"));
  const auto again = cellar_.Do("gear return 'press 1'");
  EXPECT_THAT(again.out + again.err, HasSubstr("nobody has it"));
}

TEST_F(CareTest, WhatIsNoTimeOrNobodyIsSaid) {
  EXPECT_THAT(cellar_.Run("gear lend 'press 1' --to Nobody").err, HasSubstr("Nobody"));
  EXPECT_THAT(cellar_.Run("gear lend 'press 1' --to 'Maud Ferrier' --until yesterday").err,
              HasSubstr("a time to come"));
  EXPECT_THAT(cellar_
                  .Run("gear book 'press 1' --who 'Maud Ferrier' --from 'tomorrow 9:00' --until "
                       "'tomorrow 8:00'")
                  .err,
              HasSubstr("is not after"));
}

TEST_F(CareTest, CalibratedWithItsError) {
  const auto done = cellar_.Do(
      "gear calibrate 'hydrometer 2' --against 'water at 20 C' --expected 1.000 --found 1.002 "
      "--again 2027-03");
  EXPECT_THAT(done.out + done.err,
              AllOf(HasSubstr("1.002"), HasSubstr("again on 2027-03-31"), HasSubstr("its error")));
  EXPECT_THAT(cellar_.Do("show 'hydrometer 2'").out, HasSubstr("water at 20 C"));
  EXPECT_THAT(
      cellar_.Run("gear calibrate 'hydrometer 2' --against x --expected 1.000 --found 20C").err,
      HasSubstr("in the unit of --expected"));
  EXPECT_THAT(cellar_
                  .Run("gear calibrate 'hydrometer 2' --against x --expected 1.000 --found 1.000 "
                       "--again 2020-03")
                  .err,
              HasSubstr("2020-03-31 is over"));
}

TEST_F(CareTest, WhatIsToBeBoughtForThePlans) {
  TempDir dir;
  const std::string path = absl::StrCat(dir.path(), "/own.plan");
  std::ofstream(path) << "plan: Hedge\n"
                         "step pitch: Yeast\n  done by: add\n  dose: yeast = 0.25 g/L\n"
                         "step settle: Sulfite\n  when: 1 day after pitch\n  done by: add\n"
                         "  dose: sulfite = as needed\n";
  cellar_.Do("receive juice 20L --into C1 --lot 'Hedge White 26'");
  cellar_.Do("packet new 'white wine yeast' --name YW-1 --amount 2g");
  EXPECT_THAT(cellar_.Do("buy").out, HasSubstr("want nothing"));
  cellar_.Do(absl::StrCat("plan start 'Hedge White 26' --from ", path));
  EXPECT_THAT(cellar_.Do("buy").out,
              AllOf(ContainsRegex("white wine yeast +3 g +5 g +2 g"), HasSubstr("as needed")));
  cellar_.Advance(absl::Minutes(1));
  EXPECT_THAT(cellar_.Do("due").out, HasSubstr("rundlet add C1 \"white wine yeast\" 5g"));
  cellar_.Do("material change 'white wine yeast' --keep 10g");
  EXPECT_THAT(cellar_.Do("buy --json").out,
              HasSubstr("\"short\":13000000,\"wanted\":5000000,\"keep\":10000000"));
  EXPECT_EQ(cellar_.Run("buy --days 0").exit_code, kExitUsage);
}

}  // namespace
}  // namespace rundlet::client
