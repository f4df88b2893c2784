// Goal: the register attributes every movement to the right row and column. Method: small cellars,
// row by row; sums over random cellars are in tests/property/register_test.cc.
#include "core/reports/register.h"

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::reports {
namespace {

using testing::BottlesOf;
using testing::CellarTest;
using testing::Draw;
using testing::DrawAll;
using testing::Fill;
using testing::Group;
using testing::IdOf;
using testing::kBottleUl;
using testing::kDawnUs;
using testing::kDayUs;
using testing::kLitre;
using testing::OfMaterial;
using testing::OutRest;
using testing::Volume;

class RegisterTest : public CellarTest {
 protected:
  RegisterRow Row(absl::string_view name, RegisterBy by = RegisterBy::kLot, int64_t size_ul = 0,
                  const Period& period = {}) {
    const auto made = MakeRegister(fold_, period, by);
    EXPECT_TRUE(made.ok()) << made.status();
    if (!made.ok()) return {};
    for (const auto* rows : {&made->rows, &made->totals}) {
      for (const RegisterRow& row : *rows) {
        if (row.name == name && row.size_ul == size_ul) return row;
      }
    }
    return {};
  }
};

TEST_F(RegisterTest, ABlendCrossesFromTheLotOfTheParcelNotOfTheVessel) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Receive("Elder", {Fill("C2", 10 * kLitre)}));
  // C2 holds Riesling alone afterwards: what was Elder in it has crossed.
  Do(phone_.Blend({Draw("C1", 5 * kLitre)}, {Fill("C2", 5 * kLitre)}, "Riesling"));
  Do(phone_.Withdraw(Draw("C2", kLitre), v1::ACCOUNT_SAMPLE));
  const RegisterRow riesling = Row("Riesling");
  EXPECT_EQ(riesling.in[v1::ACCOUNT_SOURCE], 20 * kLitre);
  EXPECT_EQ(riesling.crossed_in, 10 * kLitre);
  EXPECT_EQ(riesling.crossed_out, 0);
  EXPECT_EQ(riesling.out[v1::ACCOUNT_SAMPLE], kLitre);
  EXPECT_EQ(riesling.closing, 29 * kLitre);
  const RegisterRow elder = Row("Elder");
  EXPECT_EQ(elder.in[v1::ACCOUNT_SOURCE], 10 * kLitre);
  EXPECT_EQ(elder.crossed_out, 10 * kLitre);
  EXPECT_EQ(elder.closing, 0);
}

TEST_F(RegisterTest, ADeliveryPouredOntoAnotherLotComesInUnderItsOwn) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Receive("Elder", {Fill("C1", 2 * kLitre)}));
  EXPECT_EQ(Row("Elder").in[v1::ACCOUNT_SOURCE], 2 * kLitre);
  EXPECT_EQ(Row("Elder").crossed_out, 2 * kLitre);
  EXPECT_EQ(Row("Riesling").crossed_in, 2 * kLitre);
  EXPECT_EQ(Row("Riesling").closing, 12 * kLitre);
}

TEST_F(RegisterTest, BottlesAndTheirWineAreTwoRowsOfOneLot) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Add("C1", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 14)},
                   {OutRest(v1::ACCOUNT_LEES)}));
  Do(phone_.MoveBottles(BottlesOf("Spring run", 4), "Rack A", "Rack B"));
  Do(phone_.TakeBottles(BottlesOf("Spring run", 3), "Rack B", v1::ACCOUNT_SOLD));
  Do(phone_.ReturnBottles(BottlesOf("Spring run", 1), "Rack A", v1::ACCOUNT_SOLD));
  const RegisterRow wine = Row("Riesling");
  EXPECT_EQ(wine.in[v1::ACCOUNT_ADDITION], kLitre);
  EXPECT_EQ(wine.out[v1::ACCOUNT_GLASS], 14 * kBottleUl);
  EXPECT_EQ(wine.out[v1::ACCOUNT_LEES], kLitre / 2);
  EXPECT_EQ(wine.closing, 0);
  const RegisterRow bottles = Row("Riesling", RegisterBy::kLot, kBottleUl);
  EXPECT_EQ(bottles.in[v1::ACCOUNT_GLASS], 14);
  EXPECT_EQ(bottles.out[v1::ACCOUNT_SOLD], 3);
  EXPECT_EQ(bottles.in[v1::ACCOUNT_SOLD], 1);
  EXPECT_EQ(bottles.closing, 12);
  EXPECT_EQ(bottles.crossed_in, 0);
  const RegisterRow rack = Row("Rack B", RegisterBy::kVessel, kBottleUl);
  EXPECT_EQ(rack.crossed_in, 4);
  EXPECT_EQ(rack.closing, 1);
}

TEST_F(RegisterTest, WineOfEmptiedBottlesComesFromGlassAndItsLossGoesWithIt) {
  Do(phone_.Receive("Riesling", {Fill("C1", 9 * kLitre)}));
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 12)}));
  Do(phone_.Write(testing::draft::BottlesEmptied(BottlesOf("Spring run", 4), "Rack A",
                                                 {Fill("C2", 2'900'000)})));
  const RegisterRow wine = Row("Riesling");
  EXPECT_EQ(wine.in[v1::ACCOUNT_GLASS], 3 * kLitre);
  EXPECT_EQ(wine.out[v1::ACCOUNT_LOSS], 100'000);
  EXPECT_EQ(wine.closing, 2'900'000);
  EXPECT_EQ(Row("Riesling", RegisterBy::kLot, kBottleUl).out[v1::ACCOUNT_GLASS], 4);
  // No vessel has ever held what was lost on the way.
  EXPECT_EQ(Row("in no vessel", RegisterBy::kVessel).out[v1::ACCOUNT_LOSS], 100'000);
  EXPECT_EQ(Row("C2", RegisterBy::kVessel).in[v1::ACCOUNT_GLASS], 2'900'000);
}

// Found by random cellars: what was gained at the first emptying was taken for a session of the
// run.
TEST_F(RegisterTest, ARunIsEmptiedAgainAfterItsBottlesHeldMoreThanTheirSize) {
  Do(phone_.Receive("Riesling", {Fill("C1", 9 * kLitre)}));
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 12)}));
  Do(phone_.Write(testing::draft::BottlesEmptied(BottlesOf("Spring run", 4), "Rack A",
                                                 {Fill("C2", 3'100'000)})));
  Do(phone_.Write(testing::draft::BottlesEmptied(BottlesOf("Spring run", 4), "Rack A",
                                                 {Fill("C3", 1 * kLitre)})));
  EXPECT_EQ(VolumeIn("C3"), kLitre);
  const RegisterRow wine = Row("Riesling");
  EXPECT_EQ(wine.in[v1::ACCOUNT_GLASS], 6 * kLitre);
  EXPECT_EQ(wine.in[v1::ACCOUNT_GAIN], 100'000);
  EXPECT_EQ(wine.out[v1::ACCOUNT_LOSS], 2 * kLitre);
  EXPECT_EQ(wine.closing, 4'100'000);
}

TEST_F(RegisterTest, APeriodBeginsWithWhatWasThere) {
  const int64_t noon = kDawnUs + 10 * kDayUs;
  Do(phone_.At(noon).Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.At(noon + kDayUs)
         .Rack({DrawAll("C1")}, {Fill("C2", 19 * kLitre)}, {OutRest(v1::ACCOUNT_LEES)}));
  Do(phone_.At(noon + 2 * kDayUs).Gauge("C2", 18 * kLitre, v1::ACCOUNT_EVAPORATION));
  const RegisterRow row = Row("Riesling", RegisterBy::kLot, 0,
                              {.from_us = noon + kDayUs, .before_us = noon + 2 * kDayUs});
  EXPECT_EQ(row.opening, 20 * kLitre);
  EXPECT_EQ(row.in[v1::ACCOUNT_SOURCE], 0);
  EXPECT_EQ(row.out[v1::ACCOUNT_LEES], kLitre);
  EXPECT_EQ(row.out[v1::ACCOUNT_EVAPORATION], 0) << "the end of the period belongs to the next";
  EXPECT_EQ(row.closing, 19 * kLitre);
}

TEST_F(RegisterTest, ClassesGatherLotsByWhatWasSaidOfThem) {
  for (const char* name : {"Riesling", "Elder"}) {
    v1::Entry draft;
    draft.mutable_changed()->set_thing_id(IdOf(name).ToBytes());
    draft.mutable_changed()->mutable_lot()->set_colour("white");
    draft.mutable_changed()->mutable_lot()->set_vintage(2024);
    Do(phone_.Write(draft));
  }
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Receive("Elder", {Fill("C2", 10 * kLitre)}));
  Do(phone_.Blend({Draw("C1", 5 * kLitre)}, {Fill("C2", 5 * kLitre)}));
  const RegisterRow row = Row("white, 2024", RegisterBy::kClass);
  EXPECT_EQ(row.in[v1::ACCOUNT_SOURCE], 30 * kLitre);
  EXPECT_EQ(row.crossed_in, 0) << "within the class nothing crosses";
  EXPECT_EQ(row.closing, 30 * kLitre);
}

TEST_F(RegisterTest, ARowThatDoesNotBalanceIsSeen) {
  RegisterRow row{.opening = 5, .closing = 7};
  row.in[v1::ACCOUNT_GAIN] = 4;
  row.out[v1::ACCOUNT_LOSS] = 1;
  row.crossed_out = 2;
  EXPECT_EQ(row.Expected(), 6);
}

}  // namespace
}  // namespace rundlet::reports
