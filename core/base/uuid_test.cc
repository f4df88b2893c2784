// Goal: ids keep their bytes and text forms and order by time of making.
// Method: the published example of RFC 9562 appendix A.6, round trips, malformed texts.
#include "core/base/uuid.h"

#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

// RFC 9562 appendix A.6: time 0x017F22E279B0, rand_a 0xCC3, rand_b 0b01 and 0x8C4DC0C0C07398F.
TEST(UuidTest, Version7OfTheStandardsExample) {
  const std::array<uint8_t, 10> random = {0x0c, 0xc3, 0x18, 0xc4, 0xdc,
                                          0x0c, 0x0c, 0x07, 0x39, 0x8f};
  EXPECT_EQ(Uuid::Version7(0x017F22E279B0, random).ToString(),
            "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
}

TEST(UuidTest, TextAndBytesRoundTrip) {
  const auto id = Uuid::Parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398F");
  ASSERT_TRUE(id.ok());
  EXPECT_EQ(id->ToString(), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
  EXPECT_EQ(*Uuid::FromBytes(id->ToBytes()), *id);
}

TEST(UuidTest, OrdersByTime) {
  const std::array<uint8_t, 10> high = {255, 255, 255, 255, 255, 255, 255, 255, 255, 255};
  EXPECT_LT(Uuid::Version7(1000, high), Uuid::Version7(1001, {}));
}

TEST(UuidTest, RefusesMalformed) {
  for (const char* text : {"", "017f22e2", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
                           "017f22e2x79b0-7cc3-98c4-dc0c0c07398f"}) {
    EXPECT_EQ(Uuid::Parse(text).status().code(), absl::StatusCode::kInvalidArgument) << text;
  }
  EXPECT_FALSE(Uuid::FromBytes("short").ok());
  EXPECT_TRUE(Uuid().is_nil());
}

}  // namespace
}  // namespace rundlet
