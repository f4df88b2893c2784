// Goal: what wine does between vessels - received, racked, blended, topped, pressed, withdrawn - is
// what a cellar hand works out on paper.
// Method: small cellars by hand; the sums stand in the comments.
#include "tests/support/cellar_fixture.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class TransferTest : public CellarTest {};

TEST_F(TransferTest, ReceivedWineIsOneOriginInAllItsVessels) {
  const auto juice =
      Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre), Fill("C2", 5 * kLitre)}));
  EXPECT_EQ(VolumeIn("C1"), 20 * kLitre);
  EXPECT_EQ(VolumeIn("C2"), 5 * kLitre);
  EXPECT_EQ(LotIn("C1"), "Riesling");
  EXPECT_EQ(OriginIn("C1", juice), 20 * kLitre);
  EXPECT_EQ(OriginIn("C2", juice), 5 * kLitre);
  EXPECT_THAT(MovesOf(juice), ElementsAre("20000000 wine source > C1", "5000000 wine source > C2"));
  // The delivery, and a parcel in each vessel.
  ASSERT_EQ(ParcelsOf(juice).size(), 3);
  EXPECT_EQ(ParcelsOf(juice)[0].volume_ul, 25 * kLitre);
  EXPECT_EQ(ParcelsOf(juice)[0].origin, v1::ACCOUNT_SOURCE);
  const auto& holding = fold_.state().holding(HandleOf(fold_, "C1"));
  ASSERT_EQ(fold_.state().origins(holding).size(), 1);
  EXPECT_EQ(fold_.state().origins(holding)[0].of, fold_.FirstParcelAt(PositionOf(fold_, juice)));
}

TEST_F(TransferTest, ReceivedOnTopOfWineKeepsTheLotThatWasThere) {
  const auto first = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto second = Do(phone_.Receive("Elder", {Fill("C1", 5 * kLitre)}));
  EXPECT_EQ(VolumeIn("C1"), 15 * kLitre);
  EXPECT_EQ(LotIn("C1"), "Riesling");
  EXPECT_EQ(OriginIn("C1", first), 10 * kLitre);
  EXPECT_EQ(OriginIn("C1", second), 5 * kLitre);
  // What was there becomes part of the new parcel: a step within the vessel.
  EXPECT_THAT(MovesOf(second), ElementsAre("10000000 wine C1 > C1", "5000000 wine source > C1"));
}

// 10 L of A and 5 L of B; a third of the 15 L holds 3,333,333 1/3 uL of A and 1,666,666 2/3 of B:
// B has the greater remainder and gets the missing microlitre.
TEST_F(TransferTest, APartHasItsShareOfEveryOrigin) {
  const auto a = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto b = Do(phone_.Receive("Riesling", {Fill("C1", 5 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 5 * kLitre)}, {Fill("C2", 5 * kLitre)}));
  EXPECT_THAT(MovesOf(rack), ElementsAre("5000000 wine C1 > C2"));
  EXPECT_EQ(OriginIn("C2", a), 3'333'333);
  EXPECT_EQ(OriginIn("C2", b), 1'666'667);
  EXPECT_EQ(OriginIn("C1", a), 6'666'667);
  EXPECT_EQ(OriginIn("C1", b), 3'333'333);
}

TEST_F(TransferTest, TheRestGoesWhereItIsSaid) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  const auto rack =
      Do(phone_.Rack({DrawAll("C1")}, {Fill("C2", 18'500 * kMillilitre)},
                     {Out(v1::ACCOUNT_SAMPLE, 100 * kMillilitre), OutRest(v1::ACCOUNT_LEES)}));
  EXPECT_THAT(MovesOf(rack), ElementsAre("18500000 wine C1 > C2", "100000 wine C1 > sample",
                                         "1400000 wine C1 > lees"));
  EXPECT_EQ(VolumeIn("C1"), 0);
  EXPECT_EQ(LotIn("C1"), "");
  EXPECT_EQ(VolumeIn("C2"), 18'500 * kMillilitre);
  EXPECT_EQ(LotIn("C2"), "Riesling");
}

TEST_F(TransferTest, TheRestIsPouredIntoAVessel) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Rack({Draw("C1", 12 * kLitre)}, {Fill("C2", 5 * kLitre), FillRest("C3")},
                 {Out(v1::ACCOUNT_SPILL, kLitre)}));
  EXPECT_EQ(VolumeIn("C1"), 8 * kLitre);
  EXPECT_EQ(VolumeIn("C2"), 5 * kLitre);
  EXPECT_EQ(VolumeIn("C3"), 6 * kLitre);
}

TEST_F(TransferTest, WhatNobodySaysWasLost) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  const auto rack = Do(phone_.Rack({DrawAll("C1")}, {Fill("C2", 19 * kLitre)}));
  EXPECT_THAT(MovesOf(rack), ElementsAre("19000000 wine C1 > C2", "1000000 wine C1 > loss"));
}

// 19.0 L measured out of a book of 18.9 L: 2 % of 18.9 L are 378 mL, more than the 250 mL floor;
// 0.1 L is within.
TEST_F(TransferTest, MoreThanTheBookWithinToleranceIsAGain) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 18'900 * kMillilitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 19 * kLitre)}, {Fill("C2", 19 * kLitre)}));
  EXPECT_EQ(HeldText(rack), "");
  EXPECT_THAT(MovesOf(rack), ElementsAre("18900000 wine C1 > C1", "100000 wine gain > C1",
                                         "19000000 wine C1 > C2"));
  EXPECT_EQ(VolumeIn("C1"), 0);
  EXPECT_EQ(OriginIn("C2", juice), 18'900 * kMillilitre);
  EXPECT_EQ(OriginIn("C2", rack), 100 * kMillilitre);
}

TEST_F(TransferTest, ToleranceIsTheLargerOfTwo) {
  // 5 L: 2 % are 100 mL, the floor of 250 mL counts.
  Do(phone_.Receive("Riesling", {Fill("C1", 5 * kLitre)}));
  EXPECT_EQ(HeldText(Do(phone_.Rack({Draw("C1", 5'250'001)}, {FillRest("C2")}))),
            "NOT_ENOUGH_WINE C1 needs 5250001 there 5000000");
  EXPECT_EQ(HeldText(Do(phone_.Rack({Draw("C1", 5'250'000)}, {FillRest("C2")}))), "");
  // 100 L: 2 % are 2 L.
  Do(phone_.Receive("Riesling", {Fill("C3", 100 * kLitre)}));
  EXPECT_EQ(HeldText(Do(phone_.Rack({Draw("C3", 102'000'001)}, {FillRest("C4")}))),
            "NOT_ENOUGH_WINE C3 needs 102000001 there 100000000");
  EXPECT_EQ(HeldText(Do(phone_.Rack({Draw("C3", 102 * kLitre)}, {FillRest("C4")}))), "");
}

TEST_F(TransferTest, ToleranceIsASettingFromItsTimeOn) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const int64_t now_us = phone_.clock_us();
  Do(phone_.At(now_us + 20 * kMinuteUs).SetTolerance(0, 0));
  const auto before =
      Do(phone_.At(now_us + 10 * kMinuteUs).Rack({Draw("C1", 10'001'000)}, {FillRest("C2")}));
  EXPECT_EQ(HeldText(before), "");
  const auto after =
      Do(phone_.At(now_us + 30 * kMinuteUs).Rack({Draw("C2", 10'001'001)}, {FillRest("C1")}));
  EXPECT_EQ(HeldText(after), "NOT_ENOUGH_WINE C2 needs 10001001 there 10001000");
  // One of the two said alone leaves the other as it was: 1 % of 10.001 L.
  Do(phone_.At(now_us + 25 * kMinuteUs).SetTolerance(10'000, std::nullopt));
  EXPECT_EQ(HeldText(after), "");
}

// 10 L said to be drawn out of 20 L, 10.1 L found on arrival: the vessel had it.
TEST_F(TransferTest, MoreArrivedThanWasDrawnOfAVesselThatHadIt) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 10 * kLitre)}, {Fill("C2", 10'100 * kMillilitre)}));
  EXPECT_THAT(MovesOf(rack), ElementsAre("10100000 wine C1 > C2"));
  EXPECT_EQ(VolumeIn("C1"), 9'900 * kMillilitre);
}

// All of 10 L, 10.2 L found: 0.2 L of them gained. And 10.3 L is beyond the 250 mL.
TEST_F(TransferTest, MoreArrivedThanTheVesselHeld) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  EXPECT_EQ(HeldText(Do(phone_.Rack({DrawAll("C1")}, {Fill("C2", 10'300 * kMillilitre)}))),
            "NOT_ENOUGH_WINE C1 needs 10300000 there 10000000");
  const auto rack = Do(phone_.Rack({DrawAll("C1")}, {Fill("C2", 10'200 * kMillilitre)},
                                   {OutRest(v1::ACCOUNT_LEES)}));
  EXPECT_THAT(MovesOf(rack), ElementsAre("10000000 wine C1 > C1", "200000 wine gain > C1",
                                         "10200000 wine C1 > C2"));
}

// 5.2 L out of a book of 5.0 L is within 250 mL, and 5.3 L on arrival would be: the two together
// are 0.3 L more than the book and beyond it.
TEST_F(TransferTest, ToleranceIsNotGivenTwice) {
  Do(phone_.Receive("Riesling", {Fill("C1", 5 * kLitre)}));
  EXPECT_EQ(HeldText(Do(
                phone_.Rack({Draw("C1", 5'200 * kMillilitre)}, {Fill("C2", 5'300 * kMillilitre)}))),
            "NOT_ENOUGH_WINE C1 needs 5300000 there 5200000");
}

// 6 L of A and 2 L of B are mixed before they are shared out: each fill has three parts in four of
// A.
TEST_F(TransferTest, SeveralSourcesFlowTogether) {
  const auto a = Do(phone_.Receive("Riesling", {Fill("C1", 8 * kLitre)}));
  const auto b = Do(phone_.Receive("Elder", {Fill("C2", 2 * kLitre)}));
  const auto blend = Do(phone_.Rack({Draw("C1", 6 * kLitre), DrawAll("C2")},
                                    {Fill("C3", 4 * kLitre), FillRest("C4")}));
  EXPECT_EQ(OriginIn("C3", a), 3 * kLitre);
  EXPECT_EQ(OriginIn("C3", b), 1 * kLitre);
  EXPECT_EQ(OriginIn("C4", a), 3 * kLitre);
  EXPECT_EQ(OriginIn("C4", b), 1 * kLitre);
  EXPECT_THAT(MovesOf(blend), ElementsAre("3000000 wine C1 > C3", "1000000 wine C2 > C3",
                                          "3000000 wine C1 > C4", "1000000 wine C2 > C4"));
  EXPECT_EQ(LotIn("C3"), "Riesling");  // of the largest draw
}

// 5 L and 5 L, 10.2 L found: the first of equals gave 0.2 L more than the book had.
TEST_F(TransferTest, OfEqualDrawsTheFirstGivesTheDifference) {
  Do(phone_.Receive("Riesling", {Fill("C1", 5 * kLitre), Fill("C2", 5 * kLitre)}));
  const auto blend =
      Do(phone_.Blend({DrawAll("C2"), DrawAll("C1")}, {Fill("C3", 10'200 * kMillilitre)}));
  EXPECT_THAT(MovesOf(blend), ElementsAre("5000000 wine C2 > C2", "200000 wine gain > C2",
                                          "5200000 wine C2 > C3", "5000000 wine C1 > C3"));
}

TEST_F(TransferTest, TheLotIsThatOfTheLargestDrawOrAsSaid) {
  Do(phone_.Receive("Riesling", {Fill("C1", 2 * kLitre)}));
  Do(phone_.Receive("Elder", {Fill("C2", 3 * kLitre)}));
  Do(phone_.Blend({Draw("C1", kLitre), Draw("C2", kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(LotIn("C3"), "Riesling");  // the first of equals
  Do(phone_.Blend({Draw("C1", kLitre), Draw("C2", 2 * kLitre)}, {FillRest("C4")}, "Riesling"));
  EXPECT_EQ(LotIn("C4"), "Riesling");
  // Filled, not empty: keeps its own.
  Do(phone_.Rack({DrawAll("C3")}, {FillRest("C4")}));
  EXPECT_EQ(LotIn("C4"), "Riesling");
  EXPECT_EQ(VolumeIn("C4"), 5 * kLitre);
}

TEST_F(TransferTest, ToppingMixesIntoWhatIsThere) {
  const auto a = Do(phone_.Receive("Riesling", {Fill("Barrel", 9 * kLitre)}));
  const auto b = Do(phone_.Receive("Elder", {Fill("C1", 5 * kLitre)}));
  const auto top = Do(phone_.Top(Draw("C1", kLitre), {Fill("Barrel", kLitre)}));
  EXPECT_THAT(MovesOf(top),
              ElementsAre("9000000 wine Barrel > Barrel", "1000000 wine C1 > Barrel"));
  EXPECT_EQ(LotIn("Barrel"), "Riesling");
  // A tenth of the barrel is drawn again: 0.9 L of A, 0.1 L of B.
  Do(phone_.Rack({Draw("Barrel", kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(OriginIn("C2", a), 900'000);
  EXPECT_EQ(OriginIn("C2", b), 100'000);
}

TEST_F(TransferTest, DrawnFromAndFilledInOne) {
  const auto a = Do(phone_.Receive("Riesling", {Fill("C1", 6 * kLitre)}));
  const auto b = Do(phone_.Receive("Elder", {Fill("C2", 4 * kLitre)}));
  // 3 L of A and 2 L of B flow together, 2.5 L come back to C1: 3 + 1.5 of A, 1 of B.
  Do(phone_.Blend({Draw("C1", 3 * kLitre), Draw("C2", 2 * kLitre)},
                  {Fill("C1", 2'500 * kMillilitre), FillRest("C3")}));
  EXPECT_EQ(VolumeIn("C1"), 5'500 * kMillilitre);
  EXPECT_EQ(OriginIn("C1", a), 4'500 * kMillilitre);
  EXPECT_EQ(OriginIn("C1", b), 1 * kLitre);
  EXPECT_EQ(VolumeIn("C2"), 2 * kLitre);
  EXPECT_EQ(VolumeIn("C3"), 2'500 * kMillilitre);
}

TEST_F(TransferTest, PressingLeavesPomaceBehind) {
  Do(phone_.Receive("Riesling", {Fill("C1", 50 * kLitre)}, v1::INFLOW_KIND_FRUIT));
  const auto press =
      Do(phone_.Press({DrawAll("C1")}, {Fill("C2", 35 * kLitre)}, {OutRest(v1::ACCOUNT_LEES)}));
  EXPECT_THAT(MovesOf(press), ElementsAre("35000000 wine C1 > C2", "15000000 wine C1 > lees"));
}

TEST_F(TransferTest, WithdrawnWineGoesToItsAccount) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  EXPECT_THAT(MovesOf(Do(phone_.Withdraw(Draw("C1", 250'000), v1::ACCOUNT_SAMPLE))),
              ElementsAre("250000 wine C1 > sample"));
  EXPECT_THAT(MovesOf(Do(phone_.Withdraw(DrawAll("C1"), v1::ACCOUNT_DUMP))),
              ElementsAre("9750000 wine C1 > dump"));
  EXPECT_EQ(VolumeIn("C1"), 0);
}

TEST_F(TransferTest, ADrawMakesNoParcelOfWhatIsLeft) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const ParcelId before = fold_.state().holding(HandleOf(fold_, "C1")).parcel;
  const auto rack = Do(phone_.Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(fold_.state().holding(HandleOf(fold_, "C1")).parcel, before);
  EXPECT_EQ(ParcelsOf(rack).size(), 1);
  EXPECT_EQ(OriginIn("C1", juice), 6 * kLitre);
}

// Whoever looks for the missing wine is told of the last draw, also where the vessel was filled
// since.
TEST_F(TransferTest, WhoTookItIsRememberedOverAFilling) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto took = Do(phone_.Rack({Draw("C1", 8 * kLitre)}, {FillRest("C2")}));
  Do(phone_.Receive("Riesling", {Fill("C1", kLitre)}));
  const auto much = Do(phone_.Rack({Draw("C1", 9 * kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(HeldText(much), "NOT_ENOUGH_WINE C1 needs 9000000 there 3000000 taken by racking");
  EXPECT_EQ(TakenBy(fold_, much), EntryId(took.entry));
}

TEST_F(TransferTest, HeldWithWhoTookIt) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto took = Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  const auto late = Do(phone_.Rack({Draw("C1", 5 * kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(HeldText(late), "EMPTY_VESSEL C1 needs 5000000 there 0 taken by racking");
  EXPECT_EQ(TakenBy(fold_, late), EntryId(took.entry));
  EXPECT_THAT(MovesOf(late), IsEmpty());
  const auto some = Do(phone_.Withdraw(Draw("C2", kLitre), v1::ACCOUNT_SAMPLE));
  const auto much = Do(phone_.Rack({Draw("C2", 10 * kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(HeldText(much), "NOT_ENOUGH_WINE C2 needs 10000000 there 9000000 taken by withdrawal");
  EXPECT_EQ(TakenBy(fold_, much), EntryId(some.entry));
}

}  // namespace
}  // namespace rundlet::testing
