// Goal: no sum that the fold keeps grows beyond what it can count; the entry that would make it so
// is held, whole, and everything else goes on.
// Method: vessels and stock filled to the limit with the largest entries that there are.
#include "core/entry/limits.h"

#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

using ::testing::StartsWith;

constexpr int64_t kEntriesToTheLimit = kMaxHeldQuantity / (kMaxAmount * kMaxLines);

class LimitsTest : public CellarTest {
 protected:
  // Doses a vessel with as much as fits, in as few entries as there can be.
  void DoseToTheLimit(absl::string_view vessel) {
    const std::vector<v1::AdditionLine> lines(kMaxLines, FromLot("KMS-7", Mass(kMaxAmount)));
    for (int64_t i = 0; i < kEntriesToTheLimit; ++i) {
      EXPECT_EQ(HeldText(Do(phone_.Add(vessel, lines))), "");
    }
  }
};

TEST_F(LimitsTest, OfADose) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  DoseToTheLimit("C1");
  const int64_t dose_ug = DoseIn("C1", "KMS-7");
  EXPECT_EQ(dose_ug, kEntriesToTheLimit * kMaxAmount * kMaxLines);
  const std::vector<v1::AdditionLine> lines(kMaxLines, FromLot("KMS-7", Mass(kMaxAmount)));
  EXPECT_THAT(HeldText(Do(phone_.Add("C1", lines))), StartsWith("TOO_MUCH KMS-7"));
  EXPECT_EQ(DoseIn("C1", "KMS-7"), dose_ug);
}

TEST_F(LimitsTest, OfDosesThatFlowTogether) {
  Do(phone_.Receive("Riesling", {Fill("C1", kLitre), Fill("C2", kLitre), Fill("C3", kLitre)}));
  for (const char* vessel : {"C1", "C2", "C3"}) DoseToTheLimit(vessel);
  const auto blend =
      Do(phone_.Blend({DrawAll("C1"), DrawAll("C2"), DrawAll("C3")}, {FillRest("C4")}));
  EXPECT_THAT(HeldText(blend), StartsWith("TOO_MUCH"));
  EXPECT_EQ(VolumeIn("C1"), kLitre);
  EXPECT_EQ(VolumeIn("C4"), 0);
  const auto topping = Do(phone_.Top(DrawAll("C1"), {Fill("C2", kLitre)}));
  EXPECT_THAT(HeldText(topping), StartsWith("TOO_MUCH"));
  // Alone it can be moved.
  EXPECT_EQ(HeldText(Do(phone_.Rack({DrawAll("C1")}, {FillRest("C4")}))), "");
}

TEST_F(LimitsTest, OfStock) {
  const v1::Amount most = Mass(kMaxAmount);
  for (int64_t i = 0; i < kMaxHeldQuantity / kMaxAmount; ++i) {
    fold_.Insert(written_.emplace_back(phone_.ReceiveMaterial("KMS-7", most)).entry);
  }
  fold_.Settle();
  EXPECT_EQ(StockOf("KMS-7"), kMaxHeldQuantity);
  EXPECT_EQ(HeldText(Do(phone_.ReceiveMaterial("KMS-7", Mass(1)))),
            "TOO_MUCH KMS-7 needs 1 there 0");
  EXPECT_EQ(StockOf("KMS-7"), kMaxHeldQuantity);
}

// A vessel as full as can be, by additions that bring volume along.
TEST_F(LimitsTest, OfWine) {
  const std::vector<v1::AdditionLine> lines(kMaxLines,
                                            OfMaterial("Water", Volume(1), kMaxVolumeUl));
  constexpr int64_t kAtOnce = kMaxVolumeUl * kMaxLines;
  for (int64_t i = 0; i < kMaxHeldQuantity / kAtOnce; ++i) {
    fold_.Insert(written_.emplace_back(phone_.Add("C1", lines)).entry);
  }
  fold_.Settle();
  const int64_t full_ul = kMaxHeldQuantity / kAtOnce * kAtOnce;
  EXPECT_EQ(VolumeIn("C1"), full_ul);
  EXPECT_THAT(HeldText(Do(phone_.Add("C1", lines))), StartsWith("TOO_MUCH C1"));
  // To the brim of what can be counted.
  const auto rest = static_cast<size_t>((kMaxHeldQuantity - full_ul) / kMaxVolumeUl);
  Do(phone_.Add("C1", {lines.begin(), lines.begin() + static_cast<int64_t>(rest)}));
  EXPECT_EQ(VolumeIn("C1"), kMaxHeldQuantity);
  // It can be poured on, but nothing onto it.
  Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(VolumeIn("C2"), kMaxHeldQuantity);
  Do(phone_.Receive("Riesling", {Fill("C1", 1)}));
  EXPECT_EQ(HeldText(Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}))),
            "TOO_MUCH C2 needs 1 there 0");
  EXPECT_EQ(HeldText(Do(phone_.Receive("Riesling", {Fill("C3", 1), Fill("C2", 1)}))),
            "TOO_MUCH C2 needs 1 there 0");
  EXPECT_EQ(VolumeIn("C3"), 0);
  EXPECT_THAT(HeldText(Do(phone_.Rack({DrawAll("C1"), DrawAll("C2")}, {FillRest("C3")}))),
              StartsWith("TOO_MUCH C2"));
}

}  // namespace
}  // namespace rundlet::testing
