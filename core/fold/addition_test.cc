// Goal: what is added stays with the wine, to the microgram, through draws, blends and evaporation;
// what a dip reading finds becomes the book.
// Method: small cellars by hand; the sums stand in the comments.
#include "tests/support/cellar_fixture.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class AdditionTest : public CellarTest {};

TEST_F(AdditionTest, OutOfStockIntoTheWine) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.ReceiveMaterial("KMS-7", Mass(100 * kGram)));
  const auto add = Do(phone_.Add("C1", {FromLot("KMS-7", Mass(3 * kGram))}));
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 3 * kGram);
  EXPECT_EQ(StockOf("KMS-7"), 97 * kGram);
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_THAT(MovesOf(add), ElementsAre("3000000 KMS-7 stock > used"));
  // Dry goods make no new parcel.
  EXPECT_THAT(ParcelsOf(add), IsEmpty());
}

TEST_F(AdditionTest, WhatTheStockLacksWasThereAllTheSame) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.ReceiveMaterial("KMS-7", Mass(2 * kGram)));
  const auto add = Do(phone_.Add("C1", {FromLot("KMS-7", Mass(3 * kGram))}));
  EXPECT_THAT(MovesOf(add),
              ElementsAre("1000000 KMS-7 gain > stock", "3000000 KMS-7 stock > used"));
  EXPECT_EQ(StockOf("KMS-7"), 0);
}

TEST_F(AdditionTest, NobodyKeepsStockOfWater) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 9 * kLitre)}));
  const auto add = Do(phone_.Add("C1", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  EXPECT_THAT(MovesOf(add), ElementsAre("9000000 wine C1 > C1", "1000000 wine addition > C1",
                                        "1000000 Water source > used"));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_EQ(OriginIn("C1", juice), 9 * kLitre);
  EXPECT_EQ(OriginIn("C1", add), kLitre);
  EXPECT_EQ(DoseIn("C1", "Water", v1::DIMENSION_VOLUME), kLitre);
  EXPECT_EQ(LotIn("C1"), "Riesling");
  // The water is an origin that names its material.
  EXPECT_EQ(ParcelsOf(add)[0].origin, v1::ACCOUNT_ADDITION);
  EXPECT_EQ(ParcelsOf(add)[0].place, HandleOf(fold_, "Water"));
}

TEST_F(AdditionTest, SeveralLinesAtOnce) {
  Do(phone_.Receive("Riesling", {Fill("C1", 8 * kLitre)}));
  const auto add = Do(phone_.Add(
      "C1", {OfMaterial("Water", Volume(kLitre), kLitre), FromLot("KMS-7", Mass(kGram)),
             OfMaterial("Sulfite", Mass(kGram), 500'000), FromLot("KMS-7", Mass(2 * kGram))}));
  EXPECT_EQ(VolumeIn("C1"), 9'500'000);
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 3 * kGram);
  EXPECT_EQ(DoseIn("C1", "Sulfite"), kGram);
  EXPECT_EQ(OriginIn("C1", add), 1'500'000);
  // The two volumes, and the mixture.
  EXPECT_EQ(ParcelsOf(add).size(), 3);
}

TEST_F(AdditionTest, ByMassAndByCountAreNeverAddedUp) {
  Do(phone_.Receive("Riesling", {Fill("C1", 8 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(kGram)), FromLot("KMS-7", Count(3))}));
  EXPECT_EQ(DoseIn("C1", "KMS-7"), kGram);
  EXPECT_EQ(DoseIn("C1", "KMS-7", v1::DIMENSION_COUNT), 3);
}

// 3 ug in 3 uL: of 1 uL drawn 1 ug. 1 ug in 2 uL: half of it stays with what is left.
TEST_F(AdditionTest, ADoseIsSplitToTheNearestUnit) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(3 * kGram)), FromLot("KMS-8", Mass(1))}));
  // 3 L of 10: 900,000 ug, and 0.3 ug, which is nearer to none.
  Do(phone_.Rack({Draw("C1", 3 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(DoseIn("C2", "KMS-7"), 900'000);
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 2'100'000);
  EXPECT_EQ(DoseIn("C2", "KMS-8"), 0);
  EXPECT_EQ(DoseIn("C1", "KMS-8"), 1);
  // Half of what is left: half a microgram stays.
  Do(phone_.Rack({Draw("C1", 3'500'000)}, {FillRest("C3")}));
  EXPECT_EQ(DoseIn("C3", "KMS-7"), 1'050'000);
  EXPECT_EQ(DoseIn("C3", "KMS-8"), 0);
  // 2 L of 3.5 L: 0.571 ug, nearer to one.
  Do(phone_.Rack({Draw("C1", 2 * kLitre)}, {FillRest("C4")}));
  EXPECT_EQ(DoseIn("C4", "KMS-7"), 600'000);
  EXPECT_EQ(DoseIn("C4", "KMS-8"), 1);
  EXPECT_EQ(DoseIn("C1", "KMS-8"), 0);
}

TEST_F(AdditionTest, DosesAddUpWhereWinesMeet) {
  Do(phone_.Receive("Riesling", {Fill("C1", 6 * kLitre), Fill("C2", 4 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(600'000))}));
  Do(phone_.Add("C2", {FromLot("KMS-7", Mass(800'000)), FromLot("KMS-8", Mass(100))}));
  // 3 L with 300 mg, 2 L with 400 mg.
  Do(phone_.Blend({Draw("C1", 3 * kLitre), Draw("C2", 2 * kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(DoseIn("C3", "KMS-7"), 700'000);
  EXPECT_EQ(DoseIn("C3", "KMS-8"), 50);
  // Topped up with 1 L of C1: 100 mg more.
  Do(phone_.Top(Draw("C1", kLitre), {Fill("C3", kLitre)}));
  EXPECT_EQ(DoseIn("C3", "KMS-7"), 800'000);
}

TEST_F(AdditionTest, SulfiteWaitsInAnEmptyVesselForTheWine) {
  const auto add = Do(phone_.Add("C1", {FromLot("KMS-7", Mass(2 * kGram))}));
  EXPECT_EQ(HeldText(add), "");
  EXPECT_EQ(VolumeIn("C1"), 0);
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 2 * kGram);
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(kGram))}));
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 3 * kGram);
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 3 * kGram);
  EXPECT_EQ(OriginIn("C1", juice), 10 * kLitre);
  EXPECT_EQ(LotIn("C1"), "Riesling");
}

TEST_F(AdditionTest, WaterIntoAnEmptyVesselHasNoLotUntilWineComes) {
  Do(phone_.Add("C1", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  EXPECT_EQ(VolumeIn("C1"), kLitre);
  EXPECT_EQ(LotIn("C1"), "");
  Do(phone_.Receive("Elder", {Fill("C1", 4 * kLitre)}));
  EXPECT_EQ(LotIn("C1"), "Elder");
}

TEST_F(AdditionTest, RackedOntoSulfiteThatWaits) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Add("C2", {FromLot("KMS-7", Mass(kGram))}));
  Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_EQ(DoseIn("C2", "KMS-7"), kGram);
  EXPECT_EQ(VolumeIn("C2"), 10 * kLitre);
}

// ---- gauging ----

TEST_F(AdditionTest, GaugedLessIsLost) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(kGram))}));
  const auto gauge = Do(phone_.Gauge("C1", 9 * kLitre));
  EXPECT_THAT(MovesOf(gauge), ElementsAre("1000000 wine C1 > loss"));
  EXPECT_EQ(VolumeIn("C1"), 9 * kLitre);
  EXPECT_EQ(DoseIn("C1", "KMS-7"), 900'000);  // a tenth went with it
}

TEST_F(AdditionTest, WhatEvaporatesLeavesTheDosesBehind) {
  Do(phone_.Receive("Riesling", {Fill("Barrel", 10 * kLitre)}));
  Do(phone_.Add("Barrel", {FromLot("KMS-7", Mass(kGram)), FromLot("KMS-8", Mass(7))}));
  const auto gauge = Do(phone_.Gauge("Barrel", 9'300 * kMillilitre, v1::ACCOUNT_EVAPORATION));
  EXPECT_THAT(MovesOf(gauge), ElementsAre("700000 wine Barrel > evaporation"));
  EXPECT_EQ(DoseIn("Barrel", "KMS-7"), kGram);
  EXPECT_EQ(DoseIn("Barrel", "KMS-8"), 7);
}

TEST_F(AdditionTest, GaugedMoreIsAGainHoweverMuch) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto gauge = Do(phone_.Gauge("C1", 15 * kLitre));
  EXPECT_THAT(MovesOf(gauge), ElementsAre("10000000 wine C1 > C1", "5000000 wine gain > C1"));
  EXPECT_EQ(OriginIn("C1", juice), 10 * kLitre);
  EXPECT_EQ(OriginIn("C1", gauge), 5 * kLitre);
}

TEST_F(AdditionTest, GaugedAsBookedOrEmpty) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  EXPECT_THAT(MovesOf(Do(phone_.Gauge("C1", 10 * kLitre))), IsEmpty());
  EXPECT_THAT(MovesOf(Do(phone_.Gauge("C1", 0))), ElementsAre("10000000 wine C1 > loss"));
  EXPECT_EQ(VolumeIn("C1"), 0);
  const auto none = Do(phone_.Gauge("C1", 0));
  EXPECT_EQ(HeldText(none), "");
  const auto some = Do(phone_.Gauge("C1", kLitre));
  EXPECT_EQ(HeldText(some), "EMPTY_VESSEL C1 needs 1000000 there 0 taken by gauging");
}

}  // namespace
}  // namespace rundlet::testing
