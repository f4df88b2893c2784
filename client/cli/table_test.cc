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

}  // namespace
}  // namespace rundlet::client
