// Goal: bottles and stock go where the words say, and the book tells how many there are. Method:
// command lines in this process.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class BottlesTest : public ::testing::Test {
 protected:
  BottlesTest() {
    cellar_.Do("vessel new C1 --capacity 23L");
    cellar_.Do("bin new 'Rack A' 'Rack B'");
    cellar_.Do("receive juice 19L --into C1 --lot 'Orchard White 26'");
    cellar_.Do("treat C1 filter");
  }
  void Bottle() {
    cellar_.Do("treat C1 filter");
    cellar_.Do(
        "bottle C1 --size 750mL --count 24 --bin 'Rack A' --run OW26 --lot-code L2601 --loss rest");
  }
  TestCellar cellar_;
};

TEST_F(BottlesTest, BottleTakesAllAndBooksTheRestAsSaid) {
  const auto bottled =
      cellar_.Do("bottle C1 --size 750mL --count 24 --bin 'Rack A' --lot-code L2601 --loss rest");
  EXPECT_THAT(bottled.out, AllOf(HasSubstr("registered bottling Orchard White 26"),
                                 HasSubstr("C1      19 L Orchard White 26 -> empty"),
                                 HasSubstr("Rack A  0 -> 24"), HasSubstr("1 L to loss")));
  EXPECT_THAT(cellar_.Do("board").out,
              HasSubstr("Rack A       24  750 mL  Orchard White 26  L2601"));
}

TEST_F(BottlesTest, WineThatIsInNoBottleIsAskedFor) {
  for (const char* from : {"C1", "C1=19L"}) {
    const auto asked = cellar_.Run(std::string("bottle ") + from +
                                   " --size 750mL --count 12 --bin 'Rack A' --run OW26");
    EXPECT_EQ(asked.exit_code, 2);
    EXPECT_THAT(asked.err, AllOf(HasSubstr("what becomes of the 10 L"), HasSubstr("C1=9L"),
                                 HasSubstr("--loss rest"), HasSubstr("--lees rest")));
  }
  EXPECT_THAT(cellar_.Do("board").out, HasSubstr("C1       19 L")) << "nothing was saved";
  EXPECT_THAT(
      cellar_.Do("bottle C1=9L --size 750mL --count 12 --bin 'Rack A' --run OW26 --dry-run").out,
      AllOf(HasSubstr("-> 10 L"), Not(HasSubstr("to loss"))));
  EXPECT_THAT(cellar_
                  .Do("bottle C1 --size 750mL --count 12 --bin 'Rack A' --run OW26 --lees rest "
                      "--dry-run")
                  .out,
              HasSubstr("10 L to lees"));
  EXPECT_THAT(cellar_.Do("bottle C1 --size 750mL --count 25 --bin 'Rack A' --run OW26").out,
              HasSubstr("250 mL to loss"))
      << "within the tolerance";
}

TEST_F(BottlesTest, BottlingCautionsByWhatIsKnownOfTheSugar) {
  const std::string bottle = "bottle C1 --size 750mL --count 25 --bin 'Rack A' --dry-run";
  EXPECT_THAT(
      cellar_.Do(bottle).err,
      AllOf(HasSubstr("caution: C1: neither density nor sugar was ever read"), HasSubstr("BURST")));
  cellar_.Do("read C1 1.012");
  cellar_.Advance(absl::Hours(73));
  EXPECT_THAT(
      cellar_.Do(bottle).err,
      AllOf(HasSubstr("still has sugar (density 1.012 SG, 3 days old)"), HasSubstr("BURST")));
  cellar_.Do("read C1 0.995");
  const auto dry = cellar_.Do(bottle);
  EXPECT_THAT(dry.err, AllOf(HasSubstr("caution: C1: density 0.995 SG, less than a day old"),
                             HasSubstr("burst"), Not(HasSubstr("BURST"))));
  cellar_.Do("read C1 rs=5g/L");
  EXPECT_THAT(cellar_.Do(bottle).err, AllOf(HasSubstr("sugar 5.0 g/L"), HasSubstr("BURST")));
  cellar_.Do("read C1 rs=2g/L");
  EXPECT_THAT(cellar_.Do(bottle).err, Not(HasSubstr("BURST")));
  cellar_.Do("receive juice 0.1L --into C1");
  EXPECT_THAT(cellar_.Do(bottle).err,
              AllOf(HasSubstr("before what was done to the wine since"), HasSubstr("BURST")));
  EXPECT_THAT(cellar_.Do(bottle + " --json").out, HasSubstr("\"cautions\":[\"C1"));
}

TEST_F(BottlesTest, ARuleStopsWhatMayBurstUntilAReasonIsGiven) {
  cellar_.Do("receive juice 0.1L --into C1");
  const std::string bottle =
      "bottle C1 --size 750mL --count 25 --bin 'Rack A' --run OW26 --loss rest";
  const auto stopped = cellar_.Run(bottle);
  EXPECT_EQ(stopped.exit_code, 1);
  EXPECT_THAT(stopped.err,
              AllOf(HasSubstr("stop: OW26: bottled, and by the book it may ferment on"),
                    HasSubstr("(bottling-not-stable)"), HasSubstr("--anyway")));
  EXPECT_THAT(stopped.out, HasSubstr("would save: "));
  EXPECT_THAT(cellar_.Do("board").out, HasSubstr("C1      19.1 L")) << "nothing was saved";
  const auto json = cellar_.Run(bottle + " --json");
  EXPECT_EQ(json.exit_code, 1);
  EXPECT_THAT(json.out, AllOf(HasSubstr("\"saved\":false"),
                              HasSubstr("\"rule_id\":\"bottling-not-stable\"")));
  EXPECT_THAT(cellar_.Do(bottle + " --dry-run").err, HasSubstr("stop: OW26"));
  const auto saved = cellar_.Do(bottle + " --anyway 'for the fridge, drunk tonight'");
  EXPECT_THAT(saved.out, HasSubstr("saved as "));
  EXPECT_THAT(cellar_.Do("check OW26 --explain").out,
              AllOf(HasSubstr("stop  OW26: bottled"),
                    HasSubstr("done anyway: for the fridge, drunk tonight"),
                    HasSubstr("why: Yeast"), HasSubstr("source: common practice, no source")));
  EXPECT_THAT(cellar_.Do("check --json").out,
              HasSubstr("\"anyway\":\"for the fridge, drunk tonight\""));
}

TEST_F(BottlesTest, CheckNamesWhatBreaksARuleAndEndsWithTheLaw) {
  EXPECT_THAT(cellar_.Do("check").out, HasSubstr("no rule is broken"));
  cellar_.Do("settings change --jurisdictions EU");
  cellar_.Do("lot change 'Orchard White 26' --colour white");
  cellar_.Do("packet new 'potassium metabisulfite' --name KMS-1 --amount 100g");
  cellar_.Do("read C1 rs=2g/L");
  const auto slip = cellar_.Do("add C1 KMS-1 20g");
  EXPECT_THAT(slip.err,
              AllOf(HasSubstr("note: C1: 606.7 mg/L of total sulfur dioxide, added in all"),
                    HasSubstr("(so2-past-limit)"), HasSubstr("A legal limit is a ceiling")));
  for (const char* what : {"check", "check C1", "check 'Orchard White 26'"}) {
    EXPECT_THAT(cellar_.Do(what).out,
                AllOf(HasSubstr("warn  C1: 606.7 mg/L"), HasSubstr("so2-past-limit, by "),
                      ::testing::EndsWith("Check with your authority.\n")))
        << what;
  }
  EXPECT_THAT(cellar_.Do("note C1 --taste sharp").err, Not(HasSubstr("so2-past-limit")))
      << "said once, by what caused it";
  EXPECT_EQ(cellar_.Run("check 'Rack A'").exit_code, 2);
}

TEST_F(BottlesTest, BottleAPartInSeveralSizes) {
  cellar_.Do("packet new corks --name CRK-1 --amount 100");
  const auto bottled = cellar_.Do(
      "bottle C1=13.5L --size 750mL --count 16 --bin 'Rack A' --size 375mL --count 4 --bin 'Rack "
      "B' --run OW26 --use corks=20");
  EXPECT_THAT(bottled.out, AllOf(HasSubstr("-> 5.5 L"), HasSubstr("Rack A          0 -> 16"),
                                 HasSubstr("Rack B          0 -> 4"),
                                 HasSubstr("100 pcs -> 80 pcs"), Not(HasSubstr("to loss"))));
}

TEST_F(BottlesTest, BottlingWordsThatMeanNothing) {
  EXPECT_EQ(cellar_.Run("bottle C1 --size 750mL --count 24 --count 2 --bin 'Rack A'").exit_code, 2);
  EXPECT_THAT(cellar_.Run("bottle C1 --size 750mL --count 24 --bin Cellar").err,
              HasSubstr("rundlet bin new 'Cellar'"));
  Bottle();
  cellar_.Do("receive juice 10L --into C1 --lot 'Orchard White 26'");
  EXPECT_THAT(cellar_
                  .Run("bottle C1 --size 750mL --count 2 --bin 'Rack A' --run OW26 --lot-code L2 "
                       "--loss rest")
                  .err,
              HasSubstr("leave --lot-code out"));
}

TEST_F(BottlesTest, TooManyBottlesAreHeld) {
  EXPECT_THAT(cellar_.Do("bottle C1 --size 750mL --count 40 --bin 'Rack A' --run OW26").out,
              HasSubstr("held, without effect so far"));
}

TEST_F(BottlesTest, TakePutAndMove) {
  Bottle();
  EXPECT_THAT(
      cellar_.Do("take OW26 2 --reason served --person 'Juniper Vale' --occasion 'spring fair'")
          .out,
      HasSubstr("Rack A  24 -> 22"));
  const auto put = cellar_.Do("put OW26 1 --into 'Rack A' --reason served");
  EXPECT_THAT(put.out, HasSubstr("Rack A  22 -> 23"));
  EXPECT_EQ(put.err, "");
  EXPECT_THAT(cellar_.Do("put OW26 2 --into 'Rack A' --reason served --dry-run").err,
              HasSubstr("note: 2 come back, but by the book 1 of 'OW26' are out as served"));
  EXPECT_THAT(cellar_.Do("put OW26 1 --into 'Rack A' --reason sold --dry-run").err,
              HasSubstr("by the book 0 of 'OW26' are out as sold"));
  EXPECT_THAT(cellar_.Do("move OW26 10 --to 'Rack B'").out,
              AllOf(HasSubstr("Rack A  23 -> 13"), HasSubstr("Rack B  0 -> 10")));
  EXPECT_THAT(cellar_.Run("take OW26 2 --reason gift").err,
              HasSubstr("lie in Rack A (13) and Rack B (10): name the bin"));
  EXPECT_THAT(cellar_.Do("take OW26 all --from 'Rack B' --reason breakage").out,
              HasSubstr("Rack B  10 -> 0"));
  EXPECT_EQ(cellar_.Run("take OW26 2 --reason thirst").exit_code, 2);
  EXPECT_THAT(cellar_.Do("take OW26 99 --reason sold").out,
              HasSubstr("needs 99 bottles, but Rack A has 13"));
}

TEST_F(BottlesTest, SeveralSizesMustBeTold) {
  cellar_.Do(
      "bottle C1 --size 750mL --count 20 --size 375mL --count 6 --bin 'Rack A' --run OW26 --loss "
      "rest");
  EXPECT_THAT(cellar_.Run("take OW26 1 --reason gift").err,
              HasSubstr("'OW26@375 mL' or 'OW26@750 mL'"));
  EXPECT_THAT(cellar_.Do("take OW26@375mL 1 --reason gift").out,
              HasSubstr("6 -> 5 of OW26, 375 mL"));
}

TEST_F(BottlesTest, CountShowsTheDifferenceAndAdoptsIt) {
  Bottle();
  EXPECT_THAT(cellar_.Do("count 'Rack A' OW26=23").err,
              HasSubstr("counted 23, the book has 24; the book stays as it is"));
  EXPECT_THAT(cellar_.Do("board").out, HasSubstr("Rack A       24"));
  EXPECT_THAT(cellar_.Do("count 'Rack A' OW26=23 --adopt").out, HasSubstr("Rack A  24 -> 23"));
  EXPECT_THAT(cellar_.Do("count 'Rack A' OW26=0 --adopt").out, HasSubstr("Rack A  23 -> 0"));
}

TEST_F(BottlesTest, CountAPacket) {
  cellar_.Do("packet new sugar --name SUG-1 --amount 2kg");
  EXPECT_THAT(cellar_.Do("count SUG-1 1.8kg --adopt").out, HasSubstr("2 kg -> 1.8 kg"));
  EXPECT_THAT(cellar_.Run("count SUG-1 3").err, HasSubstr("count it in the same way"));
  EXPECT_THAT(cellar_.Do("count SUG-1 0 --adopt").out, HasSubstr("1.8 kg -> 0"));
}

TEST_F(BottlesTest, TraceFromTheBottleToTheSupplierAndBack) {
  cellar_.Do("packet new 'potassium metabisulfite' --name KMS-1 --code LOT123 --amount 100g");
  cellar_.Do("receive juice 1L --into C1 --supplier 'Harrow Lane Orchards' --supplier-lot HL-0917");
  cellar_.Do("add C1 KMS-1 1g");
  Bottle();
  EXPECT_THAT(cellar_.Do("trace back OW26").out,
              AllOf(HasSubstr("Harrow Lane Orchards"), HasSubstr("HL-0917"), HasSubstr("LOT123")));
  EXPECT_THAT(cellar_.Do("trace forward KMS-1").out, HasSubstr("OW26"));
  EXPECT_THAT(cellar_.Do("trace forward lot123").out, HasSubstr("OW26")) << "the printed code";
  EXPECT_THAT(cellar_.Do("show LOT123").out, HasSubstr("KMS-1"));
  EXPECT_EQ(cellar_.Run("trace sideways OW26").exit_code, 2);
  EXPECT_THAT(cellar_.Do("show OW26").out, AllOf(HasSubstr("L2601"), HasSubstr("Rack A")));
  EXPECT_THAT(cellar_.Do("show lot:'Orchard White 26'").out, HasSubstr("Rack A"));
}

// What a recall names is a supplier, or a supplier's lot.
TEST_F(BottlesTest, ARecallFindsWhatCameIn) {
  cellar_.Do(
      "receive juice 1L --into C1 --lot 'Hedge White 26' --supplier 'Harrow Lane Orchards' "
      "--supplier-lot HL-0917");
  cellar_.Do("packet new sugar --name SUG-1 --code HL-0917 --amount 1kg");
  cellar_.Do("packet new yeast --name YW-1 --supplier 'Harrow Lane Orchards' --amount 20g");
  EXPECT_THAT(cellar_.Do("trace forward hl-0917").out,
              AllOf(HasSubstr("Hedge White 26"), HasSubstr("SUG-1"), Not(HasSubstr("YW-1")),
                    HasSubstr("rundlet trace forward 'lot:Hedge White 26'")));
  EXPECT_THAT(cellar_.Do("trace forward 'Harrow Lane Orchards'").out,
              AllOf(HasSubstr("HL-0917"), HasSubstr("YW-1"), Not(HasSubstr("SUG-1"))));
  EXPECT_THAT(cellar_.Do("trace forward HL-0917 --json").out,
              AllOf(HasSubstr("\"lot\":\"Hedge White 26\""), HasSubstr("\"packet\":\"SUG-1\"")));
  EXPECT_EQ(cellar_.Run("trace forward HL-0918").exit_code, 1);
}

}  // namespace
}  // namespace rundlet::client
