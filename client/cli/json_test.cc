// Goal: what is printed for programs is JSON whatever the texts. Method: texts with every awkward
// character, read by eye.
#include "client/cli/json.h"

#include <gtest/gtest.h>

namespace rundlet::client {
namespace {

TEST(JsonTest, TextsAreEscaped) {
  EXPECT_EQ(JsonText("plain"), "\"plain\"");
  EXPECT_EQ(JsonText("a \"b\" \\ c\nd\te\x01"), R"("a \"b\" \\ c\nd\te\u0001")");
  EXPECT_EQ(JsonText("rosé"), "\"rosé\"");
}

TEST(JsonTest, ObjectsKeepTheirOrder) {
  EXPECT_EQ(JsonObject().Finish(), "{}");
  EXPECT_EQ(JsonObject().Text("b", "x").Number("a", -5).Bool("c", true).Raw("d", "null").Finish(),
            R"({"b":"x","a":-5,"c":true,"d":null})");
  EXPECT_EQ(JsonTexts({"a", "b"}), R"(["a","b"])");
  EXPECT_EQ(JsonArray({}), "[]");
}

}  // namespace
}  // namespace rundlet::client
