// Goal: the commands that move wine say and do what their words mean, and say what is wrong with
// words that mean nothing. Method: command lines run in this process against a real store; what
// they print and what the board says afterwards is looked at.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

class WineTest : public ::testing::Test {
 protected:
  WineTest() {
    cellar_.Do("vessel new C1 C2 C3 --capacity 23L --kind carboy");
    cellar_.Do("vessel new D1 --capacity 5L");
    cellar_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
  }
  std::string Board() { return cellar_.Do("board").out; }
  std::string Show(const std::string& thing) { return cellar_.Do("show " + thing).out; }

  TestCellar cellar_;
};

TEST_F(WineTest, ReceiveMakesTheLotAndFillsTheVessel) {
  const auto received = cellar_.Do(
      "receive must 12L --into C2 --lot 'Hedge Red 26' --supplier 'Harrow Lane Orchards'");
  EXPECT_THAT(received.out,
              AllOf(HasSubstr("registered lot Hedge Red 26"),
                    HasSubstr("C2  empty -> 12 L Hedge Red 26"), HasSubstr("saved as ")));
  EXPECT_THAT(received.err, HasSubstr("carbon dioxide"));
  EXPECT_THAT(Board(), HasSubstr("C2       12 L      23 L  Hedge Red 26"));
}

TEST_F(WineTest, ReceiveIntoSeveralSharesOut) {
  cellar_.Do("receive juice 30L --into C2=18L --into C3 --lot 'Orchard White 26'");
  EXPECT_THAT(Board(), AllOf(HasSubstr("C2       18 L"), HasSubstr("C3       12 L")));
  EXPECT_EQ(cellar_.Run("receive juice 30L --into C2=18L --into C3=11L --lot X").exit_code, 2);
  EXPECT_EQ(cellar_.Run("receive juice 30L --into C2 --into C3 --lot X").exit_code, 2);
  EXPECT_EQ(cellar_.Run("receive juice --into C2 --lot X").exit_code, 2);
  EXPECT_EQ(cellar_.Run("receive beer 20L --into C2 --lot X").exit_code, 2);
}

TEST_F(WineTest, ReceiveOntoWineKeepsItsLot) {
  EXPECT_THAT(cellar_.Do("receive concentrate 1L --into C1").out,
              HasSubstr("C1  20 L Orchard White 26 -> 21 L Orchard White 26"));
  EXPECT_THAT(cellar_.Run("receive juice 1L --into C2").err, HasSubstr("--lot"));
}

TEST_F(WineTest, TwoLotsInOneVesselAreTold) {
  const auto received = cellar_.Do("receive juice 1L --into C1 --lot 'Hedge Red 26'");
  EXPECT_THAT(received.err,
              HasSubstr("note: C1 holds the lot 'Orchard White 26' and stays that lot"));
  EXPECT_EQ(cellar_.Do("receive wine 1L --into C1 --lot 'Orchard White 26'").err, "");
  cellar_.Do("receive juice 4L --into D1 --lot 'Hedge Red 26'");
  const char kNote[] =
      "note: different lots come together in C1, and it stays the lot 'Orchard White 26'";
  EXPECT_THAT(cellar_.Do("top C1 --from D1=0.5L --dry-run").err,
              AllOf(HasSubstr(kNote), HasSubstr("--lot NAME")));
  EXPECT_THAT(cellar_.Do("rack D1 C1 --dry-run").err, HasSubstr(kNote));
  EXPECT_THAT(cellar_.Do("blend --from C1=5L --from D1 --to C2 --dry-run").err,
              HasSubstr("in C2, and it becomes the lot 'Orchard White 26'"));
  EXPECT_EQ(cellar_.Do("blend --from C1=5L --from D1 --to C2 --lot 'Fair Rose 26' --dry-run").err,
            "");
  EXPECT_EQ(cellar_.Do("rack C1 C2").err, "") << "one lot";
}

TEST_F(WineTest, ANewLotNearAnOldOneIsWarnedOf) {
  EXPECT_THAT(cellar_.Do("receive juice 1L --into C2 --lot 'Orchard Whte 26'").err,
              HasSubstr("Did you mean 'Orchard White 26'? A new one is made"));
}

TEST_F(WineTest, RackTakesAllAndLeavesLeesBehind) {
  const auto racked = cellar_.Do("rack C1 C2 --lees 0.7L");
  EXPECT_THAT(racked.out, AllOf(HasSubstr("C1  20 L Orchard White 26 -> empty"),
                                HasSubstr("C2  empty -> 19.3 L Orchard White 26"),
                                HasSubstr("  700 mL to lees")));
}

TEST_F(WineTest, RackIntoSeveral) {
  EXPECT_THAT(cellar_.Do("rack C1 --to C2=15L --to D1=rest --lees 0.7L").out,
              AllOf(HasSubstr("C2  empty -> 15 L"), HasSubstr("D1  empty -> 4.3 L")));
}

TEST_F(WineTest, RackMeasuredWithTheRestToLees) {
  EXPECT_THAT(cellar_.Do("rack C1 C2=19.1L --lees rest").out,
              AllOf(HasSubstr("C2  empty -> 19.1 L"), HasSubstr("900 mL to lees")));
}

TEST_F(WineTest, RackAPart) {
  EXPECT_THAT(cellar_.Do("rack C1=5L D1").out,
              AllOf(HasSubstr("C1  20 L Orchard White 26 -> 15 L"), HasSubstr("D1  empty -> 5 L")));
}

TEST_F(WineTest, RackingWordsThatMeanNothing) {
  EXPECT_EQ(cellar_.Run("rack C1").exit_code, 2);
  EXPECT_EQ(cellar_.Run("rack C1 C1").exit_code, 2);
  EXPECT_THAT(cellar_.Run("rack C1 C2 C3").err,
              HasSubstr("how much went into which of C2 and C3?"));
  EXPECT_THAT(cellar_.Run("rack C1 C2 --lees rest").err, HasSubstr("only one can take the rest"));
  EXPECT_EQ(cellar_.Run("rack C1 C2=lots").exit_code, 2);
  const auto unknown = cellar_.Run("rack C1 C9");
  EXPECT_EQ(unknown.exit_code, 1);
  EXPECT_THAT(unknown.err, AllOf(HasSubstr("Did you mean"), HasSubstr("rundlet vessel new 'C9'")));
  EXPECT_THAT(Board(), HasSubstr("C1       20 L")) << "nothing of it was saved";
}

TEST_F(WineTest, ALotStandsForTheOneVesselThatHoldsIt) {
  EXPECT_THAT(cellar_.Do("rack 'Orchard White 26' C2").out, HasSubstr("C2  empty -> 20 L"));
  cellar_.Do("rack C2=10L C3");
  const auto two = cellar_.Run("draw sample 'Orchard White 26' 100mL");
  EXPECT_EQ(two.exit_code, 1);
  EXPECT_THAT(two.err, HasSubstr("is in C2 and C3: name the vessel"));
}

TEST_F(WineTest, MoreThanTheBookHasIsShown) {
  EXPECT_THAT(cellar_.Do("rack C1 C2=20.2L").out, HasSubstr("200 mL more than the book had"));
}

TEST_F(WineTest, MoreThanFitsIsWarnedOf) {
  EXPECT_THAT(cellar_.Do("rack C1 D1").err,
              HasSubstr("D1 then holds 20 L, more than the 5 L that fit in"));
  EXPECT_THAT(Board(), HasSubstr("D1       20 L")) << "a warning only";
}

TEST_F(WineTest, BlendNamesTheNewLot) {
  cellar_.Do("receive juice 10L --into C2 --lot 'Hedge Red 26'");
  const auto blend = cellar_.Do("blend --from C1=15L --from C2=all --to C3 --lot 'Fair Rose 26'");
  EXPECT_THAT(blend.out, HasSubstr("C3  empty -> 25 L Fair Rose 26"));
  EXPECT_THAT(Show("C3"), AllOf(HasSubstr("Orchard White 26    15 L   60 %"),
                                HasSubstr("Hedge Red 26        10 L   40 %")));
}

TEST_F(WineTest, TopFillsUp) {
  cellar_.Do("rack C1=5L D1");
  EXPECT_THAT(cellar_.Do("top C1 --from D1=0.4L").out,
              AllOf(HasSubstr("-> 15.4 L"), HasSubstr("-> 4.6 L")));
}

TEST_F(WineTest, PressLeavesPomace) {
  EXPECT_THAT(cellar_.Do("press C1 --to C2=14L --pomace rest").out,
              AllOf(HasSubstr("C2  empty -> 14 L"), HasSubstr("6 L to lees")));
}

TEST_F(WineTest, GaugeSaysWhereItWent) {
  EXPECT_THAT(cellar_.Do("gauge C1 19.6L --cause evaporation").out,
              AllOf(HasSubstr("-> 19.6 L"), HasSubstr("400 mL to evaporation")));
  EXPECT_THAT(cellar_.Do("gauge C1 19.7L").out, HasSubstr("100 mL more than the book had"));
  EXPECT_THAT(cellar_.Do("gauge C1 empty").out, HasSubstr("-> empty"));
  EXPECT_THAT(cellar_.Run("gauge C1 5L --cause thirst").err, HasSubstr("evaporation"));
}

TEST_F(WineTest, GaugeAsksWhereItIsFarOff) {
  EXPECT_EQ(cellar_.Do("gauge C1 18L --dry-run").err, "") << "a tenth less";
  EXPECT_THAT(cellar_.Do("gauge C1 17.9L --dry-run").err,
              HasSubstr("note: C1 holds 20 L by the book, and this is 2.1 L less: is the number"));
  EXPECT_THAT(cellar_.Do("gauge C1 22.1L --dry-run").err, HasSubstr("2.1 L more"));
}

TEST_F(WineTest, DrawNamesItsReason) {
  EXPECT_THAT(cellar_.Do("draw sample C1 100mL").out, HasSubstr("100 mL to sample"));
  EXPECT_THAT(cellar_.Do("draw served C1 1.5L --person 'Juniper Vale'").out,
              HasSubstr("1.5 L to served"));
  EXPECT_THAT(cellar_.Do("draw dump C1 all").out,
              HasSubstr("C1  18.4 L Orchard White 26 -> empty"));
  EXPECT_EQ(cellar_.Run("draw breakage C1 1L").exit_code, 2);
}

TEST_F(WineTest, ReadKnowsItsUnits) {
  const auto read = cellar_.Do("read C1 1.045 68F pH=3.4 ta=6.2g/L so2=28mg/L va=0.4g/L");
  EXPECT_THAT(read.out, AllOf(HasSubstr("1.045 SG"), HasSubstr("68 °F"), HasSubstr("3.40"),
                              HasSubstr("free SO2 28 mg/L")));
  EXPECT_THAT(Board(), AllOf(HasSubstr("1.045 SG"), HasSubstr("68 °F"), HasSubstr("2026-03-02")));
  EXPECT_THAT(Show("C1"), HasSubstr("volatile acidity"));
  EXPECT_EQ(cellar_.Run("read C1 pH=34").exit_code, 2);
  EXPECT_THAT(cellar_.Run("read C1 1.045 1.046").err, HasSubstr("is there already"));
}

TEST_F(WineTest, TreatAndNote) {
  EXPECT_THAT(cellar_.Do("treat C1 degas --minutes 5").out, HasSubstr("degassed C1 for 5 min"));
  EXPECT_EQ(cellar_.Run("treat C1 fly").exit_code, 2);
  EXPECT_THAT(cellar_.Do("note C1 'smells of pear' --clarity hazy").out, HasSubstr("clarity hazy"));
  EXPECT_THAT(cellar_.Do("log C1").out, HasSubstr("smells of pear"));
  EXPECT_EQ(cellar_.Run("note C1").exit_code, 2);
}

TEST_F(WineTest, ADryRunSavesNothing) {
  const auto dry = cellar_.Do("rack C1 C2 --dry-run");
  EXPECT_THAT(dry.out, AllOf(HasSubstr("would save: racked all of C1"),
                             HasSubstr("C2  empty -> 20 L"), HasSubstr("nothing was saved")));
  EXPECT_THAT(Board(), HasSubstr("C1       20 L"));
}

TEST_F(WineTest, AnEntryThatCannotCountIsHeldWithItsEvidence) {
  const auto held = cellar_.Do("rack C3 C2");
  EXPECT_THAT(held.out,
              AllOf(StartsWith("held, without effect so far: C3 is empty"), HasSubstr(", held\n")));
  EXPECT_THAT(Board(), HasSubstr("1 entry is held"));
  EXPECT_THAT(cellar_.Do("held").out, HasSubstr("C3 is empty"));
  // The missing entry arrives, dated before it.
  const auto lifted = cellar_.Do("receive juice 10L --into C3 --lot X --at 9:00");
  EXPECT_THAT(lifted.out, AllOf(HasSubstr("takes effect now: "), HasSubstr("C2  empty -> 10 L X")));
  EXPECT_THAT(cellar_.Do("held").out, HasSubstr("nothing is held"));
  const auto dry = cellar_.Do("draw dump C2 20L --dry-run");
  EXPECT_THAT(dry.out, AllOf(StartsWith("would be held"), Not(HasSubstr("rundlet void"))));
}

}  // namespace
}  // namespace rundlet::client
