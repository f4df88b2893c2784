// Goal: additions come from the right packet, in the right amount, and say what to mind. Method:
// command lines in this process.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class AdditionsTest : public ::testing::Test {
 protected:
  AdditionsTest() {
    cellar_.Do("vessel new C1 --capacity 23L");
    cellar_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
    cellar_.Do(
        "packet new 'potassium metabisulfite' --name KMS-1 --code LOT123 --expires 2028-01 "
        "--amount 100g");
  }
  TestCellar cellar_;
};

TEST_F(AdditionsTest, KnownMaterialsKnowWhatIsGenerallyKnown) {
  EXPECT_THAT(cellar_.Do("show 'potassium metabisulfite'").out,
              AllOf(HasSubstr("57.63 %"), HasSubstr("sulfites"), HasSubstr("KMS-1"),
                    HasSubstr("2028-01-31")));
}

TEST_F(AdditionsTest, TakesFromTheOnlyPacketAndWarns) {
  const auto added = cellar_.Do("add C1 'potassium metabisulfite' 2g");
  EXPECT_THAT(added.out, AllOf(HasSubstr("added 2 g KMS-1 to C1"),
                               HasSubstr("KMS-1 in stock  100 g -> 98 g")));
  EXPECT_THAT(added.err, HasSubstr("asthma"));
  EXPECT_THAT(cellar_.Do("show C1").out, HasSubstr("100 mg/L"));
}

// Two tablets of 0.44 g and 57.6 % in 20 L: 2 x 440 mg x 0.576 / 20 L = 25.3 mg/L.
TEST_F(AdditionsTest, TabletsBringTheirSulfite) {
  cellar_.Do(
      "material new 'sulfite tablets' --kind sulfite --by pieces --unit-mass 0.44g --so2 57.6%");
  EXPECT_THAT(cellar_.Do("add C1 'sulfite tablets' 2pcs").err,
              AllOf(HasSubstr("that brings 25 mg/L of SO2"), Not(HasSubstr("nobody has said"))));
  EXPECT_THAT(cellar_.Run("add C1 'sulfite tablets' 0.88g").err, HasSubstr("write it like 2 pcs"));
}

TEST_F(AdditionsTest, ReckonsRatesByTheWineThatIsThere) {
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 50mg/L").out,
              HasSubstr("added 1 g KMS-1"));
  cellar_.Do("draw dump C1 all");
  EXPECT_THAT(cellar_.Run("add C1 'potassium metabisulfite' 50mg/L").err,
              HasSubstr("needs wine to be reckoned by"));
}

TEST_F(AdditionsTest, ReckonsARateInThePastByTheWineOfThen) {
  cellar_.Advance(absl::Hours(3));
  cellar_.Do("draw dump C1 10L");
  cellar_.Advance(absl::Hours(1));
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 50mg/L --at '2h ago'").out,
              HasSubstr("added 1 g KMS-1"));
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 50mg/L").out,
              HasSubstr("added 500 mg KMS-1"));
}

TEST_F(AdditionsTest, SeveralAtOnceAndWaterWithItsVolume) {
  cellar_.Do("material new water");
  cellar_.Do("material new sugar");
  EXPECT_THAT(cellar_.Do("add C1 water 500mL sugar 1kg").out,
              AllOf(HasSubstr("500 mL water"), HasSubstr("1 kg sugar"), HasSubstr("-> 21.12 L")));
  EXPECT_EQ(cellar_.Run("add C1 water").exit_code, 2);
}

TEST_F(AdditionsTest, ChoosesTheOldestPacketThatHasNotExpired) {
  cellar_.Do("packet new 'potassium metabisulfite' --name KMS-2 --amount 100g");
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 1g").out, HasSubstr("KMS-1"));
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 1g --packet KMS-2").out,
              HasSubstr("KMS-2"));
  EXPECT_THAT(cellar_.Do("add C1 KMS-2 1g").out, HasSubstr("added 1 g KMS-2"));
  cellar_.SetClock("2028-02-01T10:00:00+01:00");
  EXPECT_THAT(cellar_.Do("add C1 'potassium metabisulfite' 1g").out, HasSubstr("KMS-2"));
  EXPECT_THAT(cellar_.Do("add C1 KMS-1 1g").err, HasSubstr("expired on 2028-01-31"));
}

TEST_F(AdditionsTest, AnExpiredPacketMustBeNamed) {
  cellar_.SetClock("2028-02-01T10:00:00+01:00");
  const auto refused = cellar_.Run("add C1 'potassium metabisulfite' 1g");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err, HasSubstr("--packet KMS-1"));
  cellar_.Do("add C1 'potassium metabisulfite' 1g --packet KMS-1");
}

TEST_F(AdditionsTest, MoreThanTheStockIsSaid) {
  EXPECT_THAT(cellar_.Do("add C1 KMS-1 120g").err,
              HasSubstr("20 g more of KMS-1 than the book has in stock"));
}

TEST_F(AdditionsTest, UnknownMaterialsAndWrongMeasuresAreRefused) {
  EXPECT_THAT(cellar_.Run("add C1 bentonite 10g").err,
              HasSubstr("rundlet material new 'bentonite'"));
  EXPECT_THAT(cellar_.Run("add C1 'potassium metabisulfite' 5mL").err,
              HasSubstr("is measured otherwise"));
  EXPECT_EQ(cellar_.Run("add C1 'potassium metabisulfite' some").exit_code, 2);
  EXPECT_THAT(cellar_.Run("add C1 KMS-1 1g --paket KMS-1").err,
              HasSubstr("there is no option --paket: did you mean --packet?"));
}

TEST_F(AdditionsTest, WithoutWineItWaits) {
  cellar_.Do("vessel new C2");
  EXPECT_THAT(cellar_.Do("add C2 KMS-1 1g").err, HasSubstr("waits in it for the wine"));
}

}  // namespace
}  // namespace rundlet::client
