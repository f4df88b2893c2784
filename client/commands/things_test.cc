// Goal: things are registered once, change, retire and are listed. Method: command lines in this
// process.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(ThingsTest, ANameIsGivenOnce) {
  TestCellar cellar;
  cellar.Do("vessel new C1");
  const auto twice = cellar.Run("vessel new c1");
  EXPECT_EQ(twice.exit_code, 1);
  EXPECT_THAT(twice.err, HasSubstr("there is a vessel called 'C1' already"));
  EXPECT_EQ(cellar.Run("vessel new C2 C2").exit_code, 2);
  cellar.Do("bin new C1");  // another kind of thing
  EXPECT_THAT(cellar.Run("show C1").err, HasSubstr("'vessel:C1' or 'bin:C1'"));
  cellar.Do("show bin:C1");
}

TEST(ThingsTest, ChangeTouchesOnlyWhatIsSaid) {
  TestCellar cellar;
  cellar.Do("vessel new C1 --capacity 23L --kind carboy --of glass");
  cellar.Do("vessel change C1 --place 'cold room' --name C9");
  EXPECT_THAT(cellar.Do("vessel list").out,
              AllOf(HasSubstr("C9"), HasSubstr("23 L"), HasSubstr("carboy"), HasSubstr("glass"),
                    HasSubstr("cold room")));
  EXPECT_EQ(cellar.Run("vessel change C9").exit_code, 2);
  EXPECT_EQ(cellar.Run("vessel change C9 --capacity big").exit_code, 2);
}

TEST(ThingsTest, RetiredThingsAreOutOfTheWay) {
  TestCellar cellar;
  cellar.Do("vessel new C1 C2");
  cellar.Do("vessel retire C1 --reason cracked");
  EXPECT_THAT(cellar.Do("vessel list").out, Not(HasSubstr("C1")));
  EXPECT_THAT(cellar.Do("vessel list --retired").out, HasSubstr("C1 (retired)"));
  EXPECT_EQ(cellar.Run("vessel retire C1").exit_code, 1);
  cellar.Do("vessel change C1 --place shed");
  EXPECT_THAT(cellar.Do("vessel list").out, HasSubstr("C1"));
}

TEST(ThingsTest, EveryKindCanBeRegisteredAndShown) {
  TestCellar cellar;
  cellar.Do("gear new 'Basket press' --kind press --place shed");
  cellar.Do("material new bentonite --kind fining --by weight --caution 'do not breathe the dust'");
  cellar.Do("member new 'Juniper Vale' --contact juniper@thistledown.example");
  cellar.Do("lot new 'Hedge Red 26' --colour red --vintage 2026 --made-from blackberry");
  cellar.Do("bin new 'Rack A' --place cellar --bottles 60");
  cellar.Do("bottling new HR26 --lot 'Hedge Red 26' --lot-code L2602");
  EXPECT_THAT(cellar.Do("show 'Basket press'").out, HasSubstr("press"));
  EXPECT_THAT(cellar.Do("show bentonite").out, HasSubstr("do not breathe the dust"));
  EXPECT_THAT(cellar.Do("member list").out, HasSubstr("juniper@thistledown.example"));
  EXPECT_THAT(cellar.Do("lot list").out, AllOf(HasSubstr("2026"), HasSubstr("blackberry")));
  EXPECT_THAT(cellar.Do("bin list").out, HasSubstr("60"));
  EXPECT_THAT(cellar.Do("bottling list").out, HasSubstr("L2602"));
  EXPECT_THAT(cellar.Do("gear list --json").out, HasSubstr("\"name\":\"Basket press\""));
  EXPECT_EQ(cellar.Run("lot new X --vintage then").exit_code, 2);
  EXPECT_EQ(cellar.Run("packet new bentonite").exit_code, 2) << "a packet needs a name";
  EXPECT_EQ(cellar.Run("packet new bentonite --name B1 --expires soon").exit_code, 2);
  EXPECT_THAT(cellar.Run("packet new bentonite --name B1 --expires 0026-01").err,
              HasSubstr("the year 26 cannot be meant"));
  EXPECT_THAT(cellar.Run("packet new bentonite --name B1 --opened 2031-01-01").err,
              HasSubstr("2031-01-01 lies ahead"));
}

TEST(ThingsTest, SettingsAreAgreedOn) {
  TestCellar cellar;
  EXPECT_THAT(cellar.Do("settings").out, AllOf(HasSubstr("2 %, or 250 mL"), HasSubstr("none")));
  cellar.Do("settings change --tolerance 3% --tolerance-volume 100mL --jurisdictions eu,GB");
  EXPECT_THAT(cellar.Do("settings").out, AllOf(HasSubstr("3 %, or 100 mL"), HasSubstr("EU, GB")));
  EXPECT_EQ(cellar.Run("settings change").exit_code, 2);
}

TEST(ThingsTest, AToleranceThatBelievesAnythingIsRefused) {
  TestCellar cellar;
  EXPECT_THAT(cellar.Run("settings change --tolerance-volume 100000L").err,
              HasSubstr("50 L at most"));
  EXPECT_EQ(cellar.Run("settings change --tolerance-volume 50.1L").exit_code, 2);
  cellar.Do("settings change --tolerance-volume 50L");
}

}  // namespace
}  // namespace rundlet::client
