// Goal: bottling, bottles in bins, stock and counts: what comes in, goes out and is found.
// Method: small cellars by hand; the sums stand in the comments.
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class BottlesTest : public CellarTest {
 protected:
  // 24 bottles out of 20 L, in two bins.
  void BottleSome() {
    Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
    Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 18), Group("Rack B", 6)},
                     {OutRest(v1::ACCOUNT_LOSS)}));
  }
};

// 20 L: 24 bottles of 0.75 L are 18 L, 4 magnums filled to 0.4 L are 1.6 L; 0.1 L to taste; 0.3 L
// rest.
TEST_F(BottlesTest, WineIntoGlassWithCorks) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(2 * kGram))}));
  Do(phone_.ReceiveMaterial("Corks 24", Count(100)));
  const auto run = Do(phone_.Bottle(
      "Spring run", {DrawAll("C1")}, {Group("Rack A", 24), Group("Rack B", 4, 375'000, 400'000)},
      {Out(v1::ACCOUNT_SAMPLE, 100'000), OutRest(v1::ACCOUNT_LOSS)},
      {FromLot("Corks 24", Count(28)), OfMaterial("Cork", Count(1))}));
  EXPECT_THAT(
      MovesOf(run),
      ElementsAre("19600000 wine C1 > glass", "24 bottles Spring run glass > Rack A",
                  "4 bottles Spring run glass > Rack B", "28 Corks 24 stock > used",
                  "1 Cork source > used", "100000 wine C1 > sample", "300000 wine C1 > loss"));
  EXPECT_EQ(BottlesIn("Rack A"), 24);
  EXPECT_EQ(BottlesIn("Rack B", "Spring run", 375'000), 4);
  EXPECT_EQ(BottlesIn("Rack B"), 0);
  EXPECT_EQ(StockOf("Corks 24", v1::DIMENSION_COUNT), 72);
  EXPECT_EQ(VolumeIn("C1"), 0);
  // The run is a parcel of the wine in all its bottles, with its share of the sulfite: 19.6 of 20
  // L.
  ASSERT_EQ(ParcelsOf(run).size(), 1);
  const Parcel& parcel = ParcelsOf(run)[0];
  EXPECT_EQ(parcel.volume_ul, 19'600'000);
  EXPECT_EQ(parcel.place, HandleOf(fold_, "Spring run"));
  EXPECT_EQ(parcel.lot, HandleOf(fold_, "Riesling"));
  ASSERT_EQ(fold_.state().doses(parcel).size(), 1);
  EXPECT_EQ(fold_.state().doses(parcel)[0].amount, 1'960'000);
}

TEST_F(BottlesTest, BottledFromTwoVesselsNamesBoth) {
  Do(phone_.Receive("Riesling", {Fill("C1", 3 * kLitre), Fill("C2", 6 * kLitre)}));
  const auto run =
      Do(phone_.Bottle("Spring run", {DrawAll("C1"), DrawAll("C2")}, {Group("Rack A", 12)}));
  EXPECT_THAT(MovesOf(run), ElementsAre("3000000 wine C1 > glass", "6000000 wine C2 > glass",
                                        "12 bottles Spring run glass > Rack A"));
}

// 12 bottles are 9 L, the book holds 8.9 L: within 250 mL. 8.7 L would not do.
TEST_F(BottlesTest, AFewDropsMoreThanTheBook) {
  Do(phone_.Receive("Riesling",
                    {Fill("C1", 8'900 * kMillilitre), Fill("C2", 8'700 * kMillilitre)}));
  EXPECT_EQ(HeldText(Do(phone_.Bottle("Spring run", {DrawAll("C2")}, {Group("Rack A", 12)}))),
            "NOT_ENOUGH_WINE C2 needs 9000000 there 8700000");
  const auto run = Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 12)}));
  EXPECT_THAT(MovesOf(run),
              ElementsAre("8900000 wine C1 > C1", "100000 wine gain > C1",
                          "9000000 wine C1 > glass", "12 bottles Spring run glass > Rack A"));
}

TEST_F(BottlesTest, MovedTakenReturned) {
  BottleSome();
  EXPECT_THAT(MovesOf(Do(phone_.MoveBottles(BottlesOf("Spring run", 6), "Rack A", "Rack B"))),
              ElementsAre("6 bottles Spring run Rack A > Rack B"));
  EXPECT_EQ(BottlesIn("Rack A"), 12);
  EXPECT_EQ(BottlesIn("Rack B"), 12);
  EXPECT_THAT(
      MovesOf(Do(phone_.TakeBottles(BottlesOf("Spring run", 2), "Rack B", v1::ACCOUNT_GIFT))),
      ElementsAre("2 bottles Spring run Rack B > gift"));
  EXPECT_THAT(
      MovesOf(Do(phone_.ReturnBottles(BottlesOf("Spring run", 1), "Rack A", v1::ACCOUNT_GIFT))),
      ElementsAre("1 bottles Spring run gift > Rack A"));
  EXPECT_EQ(BottlesIn("Rack A"), 13);
  EXPECT_EQ(BottlesIn("Rack B"), 10);
  // Within one bin: nothing changes.
  Do(phone_.MoveBottles(BottlesOf("Spring run", 13), "Rack A", "Rack A"));
  EXPECT_EQ(BottlesIn("Rack A"), 13);
}

TEST_F(BottlesTest, TheLastBottleCanBeTaken) {
  BottleSome();
  EXPECT_EQ(HeldText(Do(phone_.TakeBottles(BottlesOf("Spring run", 6), "Rack B"))), "");
  EXPECT_EQ(BottlesIn("Rack B"), 0);
  EXPECT_EQ(HeldText(Do(phone_.TakeBottles(BottlesOf("Spring run", 1), "Rack B"))),
            "NOT_ENOUGH_BOTTLES Rack B needs 1 there 0 taken by bottles_taken");
}

TEST_F(BottlesTest, HeldWhereThereAreFewer) {
  BottleSome();
  const auto took = Do(phone_.TakeBottles(BottlesOf("Spring run", 5), "Rack B"));
  const auto more = Do(phone_.TakeBottles(BottlesOf("Spring run", 2), "Rack B"));
  EXPECT_EQ(HeldText(more), "NOT_ENOUGH_BOTTLES Rack B needs 2 there 1 taken by bottles_taken");
  EXPECT_EQ(TakenBy(fold_, more), EntryId(took.entry));
  EXPECT_EQ(HeldText(Do(phone_.MoveBottles(BottlesOf("Spring run", 2), "Rack B", "Rack A"))),
            "NOT_ENOUGH_BOTTLES Rack B needs 2 there 1 taken by bottles_taken");
  // Another size is another thing.
  EXPECT_EQ(HeldText(Do(phone_.TakeBottles(BottlesOf("Spring run", 1, 375'000), "Rack A"))),
            "NOT_ENOUGH_BOTTLES Rack A needs 1 there 0");
}

TEST_F(BottlesTest, ACountIsShownAndFollowedWhenAdopted) {
  BottleSome();
  const auto shown = Do(phone_.CountBin("Rack A", {BottlesOf("Spring run", 17)}, false));
  EXPECT_THAT(MovesOf(shown), IsEmpty());
  ASSERT_EQ(fold_.FactsAt(PositionOf(fold_, shown)).size(), 1);
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, shown))[0].value, -1);
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, shown))[0].type, FactType::kBinCount);
  EXPECT_EQ(BottlesIn("Rack A"), 18);
  EXPECT_THAT(MovesOf(Do(phone_.CountBin("Rack A", {BottlesOf("Spring run", 17)}, true))),
              ElementsAre("1 bottles Spring run Rack A > counted"));
  EXPECT_EQ(BottlesIn("Rack A"), 17);
  // Two kinds at once, one of them more than booked, one none at all.
  const auto both = Do(phone_.CountBin(
      "Rack A", {BottlesOf("Spring run", 0), BottlesOf("Spring run", 2, 375'000)}, true));
  EXPECT_THAT(MovesOf(both), ElementsAre("17 bottles Spring run Rack A > counted",
                                         "2 bottles Spring run counted > Rack A"));
  EXPECT_EQ(BottlesIn("Rack A"), 0);
  EXPECT_EQ(BottlesIn("Rack A", "Spring run", 375'000), 2);
  // As booked: nothing to move.
  EXPECT_THAT(MovesOf(Do(phone_.CountBin("Rack B", {BottlesOf("Spring run", 6)}, true))),
              IsEmpty());
}

TEST_F(BottlesTest, OpenedBottlesWaitUntilSomebodySaysWhatBecameOfThem) {
  BottleSome();
  Do(phone_.TakeBottles(BottlesOf("Spring run", 3), "Rack A", v1::ACCOUNT_OPENED));
  EXPECT_EQ(BottlesIn("Rack A"), 15);
  EXPECT_THAT(MovesOf(Do(phone_.Write(
                  draft::BottlesFinished(BottlesOf("Spring run", 2), v1::ACCOUNT_SERVED)))),
              ElementsAre("2 bottles Spring run opened > served"));
  // One is left open: two cannot be poured away.
  const auto more =
      Do(phone_.Write(draft::BottlesFinished(BottlesOf("Spring run", 2), v1::ACCOUNT_DUMP)));
  EXPECT_EQ(HeldText(more), "NOT_ENOUGH_BOTTLES needs 2 there 1 taken by bottles_taken");
  EXPECT_THAT(MovesOf(Do(phone_.Write(
                  draft::BottlesFinished(BottlesOf("Spring run", 1), v1::ACCOUNT_DUMP)))),
              ElementsAre("1 bottles Spring run opened > dump"));
}

// 24 bottles of 0.75 L hold 18 of 20 L, so 1.8 of 2 g of sulfite; 12 of them 9 L and 0.9 g. 8.6 L
// are measured in the vessel: 0.4 L are lost.
TEST_F(BottlesTest, EmptiedBackIntoAVesselWithWhatWasInIt) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Add("C1", {FromLot("KMS-7", Mass(2 * kGram))}));
  const auto run = Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 24)},
                                    {OutRest(v1::ACCOUNT_LOSS)}));
  const auto emptied = Do(phone_.Write(draft::BottlesEmptied(BottlesOf("Spring run", 12), "Rack A",
                                                             {Fill("C2", 8'600 * kMillilitre)})));
  EXPECT_THAT(MovesOf(emptied), ElementsAre("12 bottles Spring run Rack A > glass",
                                            "8600000 wine glass > C2", "400000 wine glass > loss"));
  EXPECT_EQ(BottlesIn("Rack A"), 12);
  EXPECT_EQ(VolumeIn("C2"), 8'600'000);
  const Holding& holding = fold_.state().holding(HandleOf(fold_, "C2"));
  EXPECT_EQ(holding.lot, HandleOf(fold_, "Riesling"));
  ASSERT_EQ(fold_.state().doses(holding).size(), 1);
  EXPECT_EQ(fold_.state().doses(holding)[0].amount, 860'000);
  // The wine is followed back to the run.
  const Movement& into = fold_.MovementsAt(PositionOf(fold_, emptied))[1];
  EXPECT_EQ(fold_.state().parcels()[into.from_parcel].place, HandleOf(fold_, "Spring run"));
  EXPECT_EQ(fold_.state().parcels()[into.from_parcel].row,
            fold_.sequence().Find(EntryId(run.entry)));
}

// 12 bottles hold 9 L by their size; 9.2 L are within 250 mL of it, 9.3 L are not.
TEST_F(BottlesTest, EmptiedBottlesHoldAboutWhatTheirSizeSays) {
  BottleSome();
  EXPECT_EQ(HeldText(Do(phone_.Write(draft::BottlesEmptied(BottlesOf("Spring run", 12), "Rack A",
                                                           {Fill("C2", 9'300 * kMillilitre)})))),
            "MORE_ARRIVED Spring run needs 9300000 there 9000000");
  const auto emptied = Do(phone_.Write(draft::BottlesEmptied(BottlesOf("Spring run", 12), "Rack A",
                                                             {Fill("C2", 9'200 * kMillilitre)})));
  EXPECT_THAT(MovesOf(emptied), ElementsAre("12 bottles Spring run Rack A > glass",
                                            "9000000 wine glass > C2", "200000 wine gain > C2"));
  EXPECT_EQ(HeldText(Do(phone_.Write(
                draft::BottlesEmptied(BottlesOf("Spring run", 7), "Rack A", {FillRest("C2")})))),
            "NOT_ENOUGH_BOTTLES Rack A needs 7 there 6 taken by bottles_emptied");
}

TEST_F(BottlesTest, ANotedGaugingIsOnlyShown) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  v1::Entry noted = draft::Gauging("C1", 19 * kLitre, v1::ACCOUNT_EVAPORATION);
  noted.mutable_gauging()->set_noted(true);
  const auto seen = Do(phone_.Write(noted));
  EXPECT_THAT(MovesOf(seen), IsEmpty());
  EXPECT_EQ(VolumeIn("C1"), 20 * kLitre);
  ASSERT_EQ(fold_.FactsAt(PositionOf(fold_, seen)).size(), 1);
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, seen))[0].type, FactType::kVolumeCount);
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, seen))[0].value, -kLitre);
}

TEST_F(BottlesTest, StockComesInAndIsCounted) {
  EXPECT_THAT(MovesOf(Do(phone_.ReceiveMaterial("KMS-7", Mass(500 * kGram)))),
              ElementsAre("500000000 KMS-7 source > stock"));
  Do(phone_.ReceiveMaterial("KMS-7", Mass(100 * kGram)));
  EXPECT_EQ(StockOf("KMS-7"), 600 * kGram);
  const auto shown = Do(phone_.CountMaterial("KMS-7", Mass(590 * kGram), false));
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, shown))[0].value, -10 * kGram);
  EXPECT_EQ(StockOf("KMS-7"), 600 * kGram);
  EXPECT_THAT(MovesOf(Do(phone_.CountMaterial("KMS-7", Mass(590 * kGram), true))),
              ElementsAre("10000000 KMS-7 stock > counted"));
  EXPECT_THAT(MovesOf(Do(phone_.CountMaterial("KMS-7", Mass(595 * kGram), true))),
              ElementsAre("5000000 KMS-7 counted > stock"));
  EXPECT_THAT(MovesOf(Do(phone_.CountMaterial("KMS-7", Mass(0), true))),
              ElementsAre("595000000 KMS-7 stock > counted"));
  EXPECT_EQ(StockOf("KMS-7"), 0);
}

}  // namespace
}  // namespace rundlet::testing
