// Goal: the order of entries, and which of them count: back-dated ones, voids, amendments and their
// rivals, things that are registered after they are used, entries of a kind that this build does
// not know.
// Method: small cellars by hand, with entries arriving late.
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class OrderTest : public CellarTest {
 protected:
  Row::Standing StandingOf(const WrittenEntry& entry) {
    return fold_.sequence().row(RowOf(fold_, entry)).standing;
  }
  Uuid VoidedBy(const WrittenEntry& entry) {
    const RowId row = fold_.sequence().row(RowOf(fold_, entry)).voided_by;
    return row == kNone ? Uuid() : fold_.sequence().row(row).id;
  }

  TestDevice tablet_{"tablet", "Bram Quill"};
};

// ---- order ----

TEST_F(OrderTest, WhatWasHeldTakesEffectWhenTheMissingEntryArrives) {
  const auto late = phone_.At(kDawnUs + kDayUs).Receive("Riesling", {Fill("C1", 10 * kLitre)});
  const auto rack =
      Do(phone_.At(kDawnUs + 2 * kDayUs).Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  const auto read =
      Do(phone_.At(kDawnUs + 3 * kDayUs)
             .Read("C2", {Measured(v1::READING_KIND_PH, v1::READING_UNIT_PH, 3'200'000)}));
  EXPECT_EQ(HeldText(rack), "EMPTY_VESSEL C1 needs 4000000 there 0");
  EXPECT_EQ(HeldText(read), "EMPTY_VESSEL C2 needs 0 there 0");
  Do(late);
  EXPECT_EQ(HeldText(rack), "");
  EXPECT_EQ(HeldText(read), "");
  EXPECT_EQ(VolumeIn("C1"), 6 * kLitre);
  EXPECT_EQ(VolumeIn("C2"), 4 * kLitre);
  EXPECT_THAT(FactsIn("C2"), ElementsAre("reading 3 = 3200000"));
}

TEST_F(OrderTest, ABackDatedDrawTakesItFromTheLaterOne) {
  Do(phone_.At(kDawnUs + kDayUs).Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto second =
      Do(phone_.At(kDawnUs + 3 * kDayUs).Rack({Draw("C1", 8 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(VolumeIn("C2"), 8 * kLitre);
  const auto first =
      Do(tablet_.At(kDawnUs + 2 * kDayUs).Withdraw(Draw("C1", 5 * kLitre), v1::ACCOUNT_SERVED));
  EXPECT_EQ(HeldText(first), "");
  EXPECT_EQ(HeldText(second), "NOT_ENOUGH_WINE C1 needs 8000000 there 5000000 taken by withdrawal");
  EXPECT_EQ(TakenBy(fold_, second), EntryId(first.entry));
  EXPECT_EQ(VolumeIn("C2"), 0);
}

TEST_F(OrderTest, AtOneTimeByDeviceThenNumber) {
  // Same microsecond: the device with the lesser id comes first, whoever synced first.
  const bool phone_first = IdOf("phone") < IdOf("tablet");
  const auto on_tablet = Do(tablet_.At(kDawnUs + kDayUs).Gauge("C1", 0));
  const auto on_phone = Do(phone_.At(kDawnUs + kDayUs).Gauge("C2", 0));
  const auto again = Do(phone_.At(kDawnUs + kDayUs).Gauge("C3", 0));
  EXPECT_EQ(PositionOf(fold_, on_phone) < PositionOf(fold_, on_tablet), phone_first);
  EXPECT_EQ(PositionOf(fold_, again), PositionOf(fold_, on_phone) + 1);
}

TEST_F(OrderTest, TwiceIsOnce) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  EXPECT_FALSE(fold_.Add(juice.entry));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
}

// ---- voids ----

TEST_F(OrderTest, AVoidEntryHasNoEffectAndNeverAgain) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  const auto gone = Do(tablet_.At(phone_.clock_us() + kDayUs).Void(rack.entry));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_EQ(VolumeIn("C2"), 0);
  EXPECT_THAT(MovesOf(rack), IsEmpty());
  EXPECT_EQ(StandingOf(rack), Row::Standing::kVoid);
  EXPECT_EQ(VoidedBy(rack), EntryId(gone.entry));
  // Voiding the void brings nothing back.
  Do(phone_.Void(gone.entry));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_EQ(StandingOf(rack), Row::Standing::kVoid);
  EXPECT_EQ(StandingOf(gone), Row::Standing::kVoid);
}

TEST_F(OrderTest, AVoidMayArriveBeforeWhatItVoids) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = phone_.Rack({DrawAll("C1")}, {FillRest("C2")});
  Do(phone_.Void(rack.entry));
  Do(rack);
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_EQ(StandingOf(rack), Row::Standing::kVoid);
}

TEST_F(OrderTest, OfTwoVoidsTheOneWithTheLeastIdIsNamed) {
  const auto gauge = Do(phone_.Gauge("C1", 0));
  const auto second = Do(phone_.WithId(IdOf("b")).Void(gauge.entry));
  EXPECT_EQ(VoidedBy(gauge), EntryId(second.entry));
  const Uuid lesser = std::min(IdOf("a"), IdOf("b"));
  Do(tablet_.WithId(IdOf("a")).Void(gauge.entry));
  EXPECT_EQ(VoidedBy(gauge), lesser);
}

TEST_F(OrderTest, AVoidOfSomethingUnknownWaits) {
  const auto stray = Do(phone_.Void(IdOf("an entry that nobody has")));
  EXPECT_EQ(HeldText(stray), "");
  EXPECT_EQ(StandingOf(stray), Row::Standing::kCounts);
}

TEST_F(OrderTest, AVoidRegistrationTakesTheThingAway) {
  const auto vessel = Do(phone_.RegisterVessel("C9"));
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C9", 10 * kLitre)}));
  EXPECT_EQ(HeldText(juice), "");
  Do(phone_.Void(vessel.entry));
  EXPECT_EQ(fold_.directory().Find(HandleOf(fold_, "C9")), nullptr);
  EXPECT_EQ(HeldText(juice).substr(0, 13), "UNKNOWN_THING");
  EXPECT_EQ(VolumeIn("C9"), 0);
}

// ---- amendments ----

TEST_F(OrderTest, AnAmendmentStandsInTheSamePlace) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  const auto later = Do(phone_.Rack({Draw("C2", 5 * kLitre)}, {FillRest("C3")}));
  EXPECT_EQ(HeldText(later), "NOT_ENOUGH_WINE C2 needs 5000000 there 4000000");
  const size_t place = PositionOf(fold_, rack);
  const auto amended =
      Do(tablet_.Amending(rack.entry).Rack({Draw("C1", 6 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(StandingOf(rack), Row::Standing::kVoid);
  EXPECT_EQ(VoidedBy(rack), EntryId(amended.entry));
  // Beside it, before what came after it.
  EXPECT_EQ(std::min(PositionOf(fold_, amended), PositionOf(fold_, rack)), place);
  EXPECT_EQ(PositionOf(fold_, later), place + 2);
  EXPECT_EQ(HeldText(later), "");
  EXPECT_EQ(VolumeIn("C3"), 5 * kLitre);
}

TEST_F(OrderTest, AnAmendmentOfTheTimeMovesIt) {
  Do(phone_.At(kDawnUs + kDayUs).Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = Do(phone_.At(kDawnUs).Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(HeldText(rack), "EMPTY_VESSEL C1 needs 4000000 there 0");
  const auto amended = Do(phone_.Amending(rack.entry)
                              .At(kDawnUs + 2 * kDayUs)
                              .Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(HeldText(amended), "");
  EXPECT_EQ(VolumeIn("C2"), 4 * kLitre);
}

TEST_F(OrderTest, OfRivalAmendmentsTheGreatestIdCounts) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 1 * kLitre)}, {FillRest("C2")}));
  const Uuid low = std::min(IdOf("one"), IdOf("two"));
  const Uuid high = std::max(IdOf("one"), IdOf("two"));
  const auto winner = Do(
      tablet_.WithId(high).Amending(rack.entry).Rack({Draw("C1", 3 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(VolumeIn("C2"), 3 * kLitre);
  const auto loser =
      Do(phone_.WithId(low).Amending(rack.entry).Rack({Draw("C1", 2 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(VolumeIn("C2"), 3 * kLitre);
  EXPECT_EQ(HeldText(loser), "OTHER_AMENDMENT needs 0 there 0");
  EXPECT_EQ(StandingOf(loser), Row::Standing::kSuperseded);
  // The winner voided, the other one counts after all.
  Do(phone_.Void(winner.entry));
  EXPECT_EQ(HeldText(loser), "");
  EXPECT_EQ(StandingOf(loser), Row::Standing::kCounts);
  EXPECT_EQ(VolumeIn("C2"), 2 * kLitre);
  EXPECT_EQ(StandingOf(rack), Row::Standing::kVoid);
}

TEST_F(OrderTest, AnAmendedAmendmentIsTheSamePlace) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C1", 1 * kLitre)}, {FillRest("C2")}));
  const auto once =
      Do(tablet_.Amending(rack.entry).Rack({Draw("C1", 2 * kLitre)}, {FillRest("C2")}));
  const auto twice =
      Do(tablet_.Amending(once.entry).Rack({Draw("C1", 3 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(twice.entry.amendment().place_device_id(), rack.entry.device_id());
  EXPECT_EQ(VolumeIn("C2"), 3 * kLitre);
  EXPECT_EQ(StandingOf(once), Row::Standing::kVoid);
  EXPECT_EQ(StandingOf(twice), Row::Standing::kCounts);
}

TEST_F(OrderTest, AnAmendedRegistrationIsTheThing) {
  const auto wrong = Do(phone_.RegisterBin("C9"));
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C9", 10 * kLitre)}));
  EXPECT_EQ(HeldText(juice), "WRONG_THING C9 needs 0 there 0");
  Do(phone_.Amending(wrong.entry).RegisterVessel("C9"));
  EXPECT_EQ(HeldText(juice), "");
  EXPECT_EQ(VolumeIn("C9"), 10 * kLitre);
}

TEST_F(OrderTest, AnAmendedSettingCounts) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto strict = Do(phone_.SetTolerance(0, 0));
  const auto rack = Do(phone_.Rack({Draw("C1", 10'100 * kMillilitre)}, {FillRest("C2")}));
  EXPECT_EQ(HeldText(rack), "NOT_ENOUGH_WINE C1 needs 10100000 there 10000000");
  Do(phone_.Amending(strict.entry).SetTolerance(0, 100 * kMillilitre));
  EXPECT_EQ(HeldText(rack), "");
  EXPECT_EQ(fold_.directory().settings().tolerance_ul(), 100 * kMillilitre);
}

// ---- things ----

TEST_F(OrderTest, RegisteredAfterUseAndWhateverItsDate) {
  const auto juice = Do(phone_.Receive("Riesling", {Fill("C9", 10 * kLitre)}));
  const auto rack = Do(phone_.Rack({Draw("C9", 4 * kLitre)}, {FillRest("C1")}));
  EXPECT_EQ(HeldText(juice).substr(0, 13), "UNKNOWN_THING");
  EXPECT_EQ(HeldText(rack).substr(0, 13), "UNKNOWN_THING");
  Do(phone_.At(kDawnUs + 30 * kDayUs).RegisterVessel("C9"));
  EXPECT_EQ(HeldText(juice), "");
  EXPECT_EQ(VolumeIn("C9"), 6 * kLitre);
  EXPECT_EQ(VolumeIn("C1"), 4 * kLitre);
}

TEST_F(OrderTest, EveryKindOfThingMustBeKnown) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto held = [&](const WrittenEntry& written) {
    return HeldText(Do(written)).substr(0, 13) == "UNKNOWN_THING";
  };
  EXPECT_TRUE(held(phone_.Receive("no lot", {Fill("C1", kLitre)})));
  EXPECT_TRUE(held(phone_.Rack({DrawAll("no vessel")}, {FillRest("C1")})));
  EXPECT_TRUE(held(phone_.Rack({Draw("C1", kLitre)}, {FillRest("no vessel")})));
  EXPECT_TRUE(held(phone_.Rack({Draw("C1", kLitre)}, {FillRest("C2")}, {}, "no lot")));
  EXPECT_TRUE(held(phone_.Add("no vessel", {FromLot("KMS-7", Mass(1))})));
  EXPECT_TRUE(held(phone_.Add("C1", {FromLot("no delivery", Mass(1))})));
  EXPECT_TRUE(held(phone_.Add("C1", {OfMaterial("no material", Mass(1))})));
  EXPECT_TRUE(held(phone_.Gauge("no vessel", kLitre)));
  EXPECT_TRUE(held(phone_.Observe("nothing")));
  EXPECT_TRUE(held(phone_.ReceiveMaterial("no delivery", Mass(1))));
  EXPECT_TRUE(held(phone_.CountMaterial("no delivery", Mass(1), true)));
  EXPECT_TRUE(held(phone_.Bottle("no run", {DrawAll("C1")}, {Group("Rack A", 1)})));
  EXPECT_TRUE(held(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("no bin", 1)})));
  EXPECT_TRUE(held(phone_.CountBin("no bin", {BottlesOf("Spring run", 1)}, true)));
  EXPECT_TRUE(held(phone_.CountBin("Rack A", {BottlesOf("no run", 1)}, true)));
  EXPECT_TRUE(held(phone_.ReturnBottles(BottlesOf("Spring run", 1), "no bin")));
  EXPECT_TRUE(held(phone_.ReturnBottles(BottlesOf("no run", 1), "Rack A")));
  EXPECT_TRUE(held(phone_.TakeBottles(BottlesOf("no run", 1), "Rack A")));
  EXPECT_TRUE(held(phone_.MoveBottles(BottlesOf("no run", 1), "Rack A", "Rack B")));
  EXPECT_TRUE(held(phone_.MoveBottles(BottlesOf("Spring run", 1), "Rack A", "no bin")));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
}

TEST_F(OrderTest, EveryThingMustBeOfItsKind) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto held = [&](const WrittenEntry& written) { return HeldText(Do(written)); };
  EXPECT_EQ(held(phone_.Rack({DrawAll("C1")}, {FillRest("Rack A")})),
            "WRONG_THING Rack A needs 0 there 0");
  EXPECT_EQ(held(phone_.Receive("C1", {Fill("C1", kLitre)})), "WRONG_THING C1 needs 0 there 0");
  EXPECT_EQ(held(phone_.Add("C1", {FromLot("C2", Mass(1))})), "WRONG_THING C2 needs 0 there 0");
  EXPECT_EQ(held(phone_.Add("C1", {FromLot("Sulfite", Mass(1))})),
            "WRONG_THING Sulfite needs 0 there 0");
  EXPECT_EQ(held(phone_.Add("C1", {OfMaterial("KMS-7", Mass(1))})),
            "WRONG_THING KMS-7 needs 0 there 0");
  // Stock is kept of deliveries, not of materials in general.
  EXPECT_EQ(held(phone_.ReceiveMaterial("Sulfite", Mass(1))),
            "WRONG_THING Sulfite needs 0 there 0");
  EXPECT_EQ(held(phone_.CountMaterial("Sulfite", Mass(1), true)),
            "WRONG_THING Sulfite needs 0 there 0");
  EXPECT_EQ(held(phone_.CountBin("C1", {BottlesOf("Spring run", 1)}, true)),
            "WRONG_THING C1 needs 0 there 0");
  EXPECT_EQ(held(phone_.ReturnBottles(BottlesOf("Riesling", 1), "Rack A")),
            "WRONG_THING Riesling needs 0 there 0");
  EXPECT_EQ(held(phone_.Bottle("Riesling", {DrawAll("C1")}, {Group("Rack A", 1)})),
            "WRONG_THING Riesling needs 0 there 0");
}

TEST_F(OrderTest, ABottlingThatIsRegisteredLate) {
  const auto back = Do(phone_.ReturnBottles(BottlesOf("Late run", 3), "Rack A"));
  EXPECT_EQ(HeldText(back).substr(0, 13), "UNKNOWN_THING");
  Do(phone_.RegisterBottling("Late run", "Riesling"));
  EXPECT_EQ(HeldText(back), "");
  EXPECT_EQ(BottlesIn("Rack A", "Late run"), 3);
}

TEST_F(OrderTest, FieldsOfAThingAreAsLastSaidInFoldOrder) {
  const int64_t now_us = phone_.clock_us();
  Do(tablet_.At(now_us + 2 * kDayUs).RenameVessel("C1", "Old oak"));
  v1::Entry bigger;
  bigger.mutable_changed()->set_thing_id(IdOf("C1").ToBytes());
  bigger.mutable_changed()->mutable_vessel()->set_capacity_ul(54 * kLitre);
  bigger.mutable_changed()->mutable_vessel()->set_name("Not yet so old oak");
  Do(phone_.At(now_us + kDayUs).Write(bigger));
  const Directory::Known* known = fold_.directory().Find(HandleOf(fold_, "C1"));
  ASSERT_NE(known, nullptr);
  EXPECT_EQ(known->thing.vessel().name(), "Old oak");
  EXPECT_EQ(known->thing.vessel().capacity_ul(), 54 * kLitre);
  EXPECT_FALSE(known->retired);
  Do(phone_.At(now_us + 3 * kDayUs).Retire("C1"));
  EXPECT_TRUE(fold_.directory().Find(HandleOf(fold_, "C1"))->retired);
  Do(phone_.At(now_us + 4 * kDayUs).RenameVessel("C1", "In use again"));
  EXPECT_FALSE(fold_.directory().Find(HandleOf(fold_, "C1"))->retired);
}

TEST_F(OrderTest, TheFirstRegistrationSaysWhatItIs) {
  Do(phone_.At(kDawnUs + kDayUs).RegisterBin("C1"));  // it is a vessel already
  EXPECT_EQ(fold_.directory().kind(HandleOf(fold_, "C1")), v1::Thing::kVessel);
  // Said earlier by somebody whose device was offline, it would be a bin.
  Do(tablet_.At(kDawnUs - kDayUs).RegisterBin("C1"));
  EXPECT_EQ(fold_.directory().kind(HandleOf(fold_, "C1")), v1::Thing::kBin);
}

// ---- entries of the future ----

TEST_F(OrderTest, AnUnknownKindStopsTheFoldAndNothingElse) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto unknown = Do(phone_.WriteOfNewerKind());
  const auto rack = Do(phone_.Rack({Draw("C1", 4 * kLitre)}, {FillRest("C2")}));
  EXPECT_EQ(fold_.stopped_at(), RowOf(fold_, unknown));
  EXPECT_EQ(VolumeIn("C2"), 0);
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  EXPECT_THAT(MovesOf(rack), IsEmpty());
  EXPECT_EQ(HeldText(rack), "");
  // What lies before it is folded, also when it arrives later.
  Do(tablet_.At(unknown.entry.effective_at_us() - 1).Gauge("C1", 9 * kLitre));
  EXPECT_EQ(VolumeIn("C1"), 9 * kLitre);
  // Void, it stops nothing.
  Do(phone_.Void(unknown.entry));
  EXPECT_EQ(fold_.stopped_at(), kNone);
  EXPECT_EQ(VolumeIn("C2"), 4 * kLitre);
}

TEST_F(OrderTest, ANewerFormatIsNotReadAsThisOne) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  // The body looks like one that we know; what it means is not for us to say.
  const auto newer =
      Do(phone_.WriteInNewerFormat(draft::Racking({DrawAll("C1")}, {FillRest("C2")})));
  EXPECT_EQ(fold_.stopped_at(), RowOf(fold_, newer));
  EXPECT_EQ(VolumeIn("C1"), 10 * kLitre);
  // Nor may it name a void, or have no lines at all.
  Do(phone_.WriteInNewerFormat(draft::Void(EntryId(written_.front().entry))));
  EXPECT_EQ(StandingOf(written_.front()), Row::Standing::kCounts);
  v1::Entry hollow;
  hollow.mutable_withdrawal();
  Do(phone_.WriteInNewerFormat(hollow));
  EXPECT_EQ(fold_.stopped_at(), RowOf(fold_, newer));
}

}  // namespace
}  // namespace rundlet::testing
