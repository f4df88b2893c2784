// Goal: an entry is taken only where it fits what is known of its device on both sides.
// Method: chains of made-up hashes, asked and extended by hand.
#include "server/cellar/device_chains.h"

#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

using Fit = DeviceChains::Fit;

Hash H(uint8_t n) {
  Hash hash = {};
  hash[0] = n;
  return hash;
}

Uuid Device(uint8_t n) { return Uuid::Version7(n, {}); }

TEST(DeviceChainsTest, AFirstEntryFitsAnywhere) {
  const DeviceChains chains;
  EXPECT_EQ(chains.Check(Device(1), 1, H(1), ""), Fit::kFits);
  EXPECT_EQ(chains.Check(Device(1), 7, H(7), HashBytes(H(6))), Fit::kFits);
}

TEST(DeviceChainsTest, NeighboursMustAgree) {
  DeviceChains chains;
  chains.Add(Device(1), 1, H(1), "");
  chains.Add(Device(1), 4, H(4), HashBytes(H(3)));
  EXPECT_EQ(chains.Check(Device(1), 1, H(1), ""), Fit::kNumberTaken);
  EXPECT_EQ(chains.Check(Device(1), 2, H(2), HashBytes(H(1))), Fit::kFits);
  EXPECT_EQ(chains.Check(Device(1), 2, H(2), HashBytes(H(9))), Fit::kAfterAnother);
  EXPECT_EQ(chains.Check(Device(1), 3, H(3), HashBytes(H(2))), Fit::kFits);
  EXPECT_EQ(chains.Check(Device(1), 3, H(9), HashBytes(H(2))), Fit::kBeforeAnother);
  EXPECT_EQ(chains.Check(Device(1), 5, H(5), HashBytes(H(4))), Fit::kFits);
  EXPECT_EQ(chains.Check(Device(1), 5, H(5), HashBytes(H(9))), Fit::kAfterAnother);
  // Another device has a chain of its own.
  EXPECT_EQ(chains.Check(Device(2), 2, H(2), HashBytes(H(9))), Fit::kFits);
}

TEST(DeviceChainsTest, AClosedGapIsCheckedOnBothSides) {
  DeviceChains chains;
  chains.Add(Device(1), 3, H(3), HashBytes(H(2)));
  chains.Add(Device(1), 1, H(1), "");
  EXPECT_EQ(chains.Check(Device(1), 2, H(2), HashBytes(H(9))), Fit::kAfterAnother);
  EXPECT_EQ(chains.Check(Device(1), 2, H(9), HashBytes(H(1))), Fit::kBeforeAnother);
  ASSERT_EQ(chains.Check(Device(1), 2, H(2), HashBytes(H(1))), Fit::kFits);
  chains.Add(Device(1), 2, H(2), HashBytes(H(1)));
  EXPECT_EQ(chains.Check(Device(1), 2, H(2), HashBytes(H(1))), Fit::kNumberTaken);
  EXPECT_EQ(chains.leaf_hash(2), H(2));
}

TEST(DeviceChainsTest, TheGreatestNumberIsANumberLikeOthers) {
  DeviceChains chains;
  chains.Add(Device(1), INT64_MAX, H(1), HashBytes(H(0)));
  EXPECT_EQ(chains.Check(Device(1), INT64_MAX, H(1), HashBytes(H(0))), Fit::kNumberTaken);
  EXPECT_EQ(chains.Check(Device(1), INT64_MAX - 1, H(9), HashBytes(H(0))), Fit::kBeforeAnother);
}

}  // namespace
}  // namespace rundlet::server
