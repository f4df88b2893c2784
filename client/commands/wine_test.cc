// Goal: the commands that move wine say and do what their words mean. Method: command lines run in
// this process against a real store; what they print and what the board says afterwards is looked
// at.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(ReceiveTest, MakesTheLotAndFillsTheVessel) {
  TestCellar cellar;
  cellar.Do("vessel new C1 C2 --capacity 23L --kind carboy");
  const auto received = cellar.Do(
      "receive juice 20L --into C1 --lot 'Orchard White 26' --supplier 'Harrow Lane Orchards' "
      "--supplier-lot HL-0917");
  EXPECT_THAT(received.out, HasSubstr("C1  empty -> 20 L Orchard White 26"));
  EXPECT_THAT(received.out, HasSubstr("saved as "));
  EXPECT_THAT(received.err, HasSubstr("carbon dioxide"));
  EXPECT_THAT(cellar.Do("board").out, HasSubstr("C1       20 L      23 L  Orchard White 26"));
}

TEST(RackTest, LeavesLeesBehind) {
  TestCellar cellar;
  cellar.Do("vessel new C1 C2 --capacity 23L");
  cellar.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
  const auto racked = cellar.Do("rack C1 C2 --lees 0.7L");
  EXPECT_THAT(racked.out, HasSubstr("C1  20 L Orchard White 26 -> empty"));
  EXPECT_THAT(racked.out, HasSubstr("C2  empty -> 19.3 L Orchard White 26"));
  EXPECT_THAT(racked.out, HasSubstr("  700 mL to lees"));
}

}  // namespace
}  // namespace rundlet::client
