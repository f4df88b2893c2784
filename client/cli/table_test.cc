// Goal: columns stand under each other, also with letters of several bytes. Method: small tables,
// compared whole.
#include "client/cli/table.h"

#include <gtest/gtest.h>

namespace rundlet::client {
namespace {

TEST(TableTest, AlignsLeftAndRight) {
  Table table({"Vessel", ">Holds", "Lot"});
  table.Add({"C1", "20 L", "Orchard White 26"});
  table.Add({"Barrel 7", "5 L", ""});
  EXPECT_EQ(table.Print(),
            "Vessel    Holds  Lot\n"
            "C1         20 L  Orchard White 26\n"
            "Barrel 7    5 L\n");
}

TEST(TableTest, LeavesEmptyColumnsOut) {
  Table table({"A", "B", "C"});
  table.Add({"1", "", "3"});
  EXPECT_EQ(table.Print(), "A  C\n1  3\n");
}

TEST(TableTest, CountsLettersNotBytes) {
  Table table({"A", ">B"});
  table.Add({"rosé", "20 °C"});
  table.Add({"white", "5 °C"});
  EXPECT_EQ(table.Print(),
            "A          B\n"
            "rosé   20 °C\n"
            "white   5 °C\n");
}

Table Wide() {
  Table table({"Entry", ">Volume", "What"});
  table.Add({"a1", "18.5 L", "racked from the first into the second, the rest to lees"});
  table.AddUnder("a line that stands under it");
  table.Add({"a2", "2 L", "drawn"});
  return table;
}

TEST(TableTest, WordsGoOnInFurtherLinesWhereTheTerminalIsNarrow) {
  EXPECT_EQ(Wide().Print(45),
            "Entry  Volume  What\n"
            "a1     18.5 L  racked from the first into the\n"
            "               second, the rest to lees\n"
            "    a line that stands under it\n"
            "a2        2 L  drawn\n");
  EXPECT_EQ(Wide().Print(200), Wide().Print()) << "a wide terminal changes nothing";
}

TEST(TableTest, EachRowIsAParagraphWhereColumnsFindNoRoom) {
  EXPECT_EQ(Wide().Print(24),
            "Entry   a1\n"
            "Volume  18.5 L\n"
            "What    racked from the\n"
            "        first into the\n"
            "        second, the rest\n"
            "        to lees\n"
            "    a line that stands\n"
            "    under it\n"
            "\n"
            "Entry   a2\n"
            "Volume  2 L\n"
            "What    drawn\n");
}

TEST(TableTest, AWordThatIsTooLongIsCutBetweenCharacters) {
  Table table({"N", "Word"});
  table.Add(
      {"1", "\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9"});
  EXPECT_EQ(
      table.Print(15),
      "N  Word\n1  \u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\n   "
      "\u00e9\n");
}

}  // namespace
}  // namespace rundlet::client
