// Goal: each rule of vessels and fermentations is tripped, kept by just enough, and lifted. Method:
// 20 L of an invented wine in vessels of known size.
#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using ::testing::Not;

class VesselRulesTest : public FindingsTest {
 protected:
  VesselRulesTest() {
    Do(phone_.RegisterVessel("Carboy", 23 * kLitre));
    Do(phone_.RegisterVessel("Big", 30 * kLitre));
  }
  void RackInto(const char* vessel, const char* from = "C1") {
    Do(phone_.Rack({testing::DrawAll(from)}, {testing::FillRest(vessel)}));
  }
  WrittenEntry Temperature(double celsius) {
    return Read(rundlet::v1::READING_KIND_TEMPERATURE, rundlet::v1::READING_UNIT_CELSIUS, celsius);
  }
};

TEST_F(VesselRulesTest, AirOverFermentedWine) {
  On(20);
  Density(0.996);
  On(21);
  RackInto("Carboy");
  now_us_ = DayUs(34.9);
  EXPECT_THAT(Broken("Carboy"), Not(Contains("warn vessel-headspace"))) << "not yet two weeks";
  now_us_ = DayUs(35.1);
  const Finding air = Of("vessel-headspace", "Carboy");
  EXPECT_THAT(air.text, HasSubstr("Carboy: 3 L of air over fermented wine for 14 days"));
  On(22);
  Do(phone_.Receive("Riesling", {testing::Fill("C2", kLitre)}));
  On(23);
  Do(phone_.Top(testing::Draw("C2", 720'000), {testing::Fill("Carboy", 720'000)}));
  EXPECT_THAT(Broken("Carboy"), Not(Contains("warn vessel-headspace")))
      << "2.28 L is under a tenth";
}

TEST_F(VesselRulesTest, WineThatStillFermentsMakesItsOwnGas) {
  On(20);
  Density(1.002);
  On(21);
  RackInto("Carboy");
  EXPECT_THAT(Broken("Carboy"), Not(Contains("warn vessel-headspace")));
}

TEST_F(VesselRulesTest, ASampleOfLongAgoDatesTheAir) {
  On(20);
  Density(0.996);
  On(21);
  Do(phone_.RegisterVessel("Brim", 20 * kLitre));
  RackInto("Brim");
  EXPECT_THAT(Broken("Brim"), Not(Contains("warn vessel-headspace")));
  On(30);
  const auto drawn =
      Do(phone_.Withdraw(testing::Draw("Brim", 3 * kLitre), rundlet::v1::ACCOUNT_SERVED));
  now_us_ = DayUs(43);
  EXPECT_THAT(Broken("Brim"), Not(Contains("warn vessel-headspace")));
  now_us_ = DayUs(45);
  EXPECT_EQ(CauseOf(Of("vessel-headspace", "Brim")), EntryId(drawn.entry));
}

TEST_F(VesselRulesTest, MoreThanFitsIn) {
  On(5);
  Do(phone_.RegisterVessel("Small", 20 * kLitre - 1));
  Do(phone_.RegisterVessel("Exact", 20 * kLitre));
  const auto racked = Do(phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("Small")}));
  EXPECT_EQ(CauseOf(Of("vessel-over-capacity", "Small")), EntryId(racked.entry));
  RackInto("Exact", "Small");
  EXPECT_THAT(Broken("Exact"), Not(Contains("warn vessel-over-capacity")));
}

TEST_F(VesselRulesTest, NotSanitisedSinceItsLastUse) {
  On(5);
  RackInto("C2");
  EXPECT_THAT(Broken("C2"), Not(Contains("note vessel-not-sanitised"))) << "nobody keeps that here";
  On(6);
  Do(phone_.Write(testing::draft::Sanitised("C3")));
  On(7);
  RackInto("C3", "C2");
  EXPECT_THAT(Broken("C3"), Not(Contains("note vessel-not-sanitised")));
  On(8);
  const auto racked = Do(phone_.Rack({testing::DrawAll("C3")}, {testing::FillRest("C2")}));
  const Finding dirty = Of("vessel-not-sanitised", "C2");
  EXPECT_EQ(CauseOf(dirty), EntryId(racked.entry));
  EXPECT_THAT(dirty.text, HasSubstr("C2: the vessel was used"));
  On(7.5);
  Do(phone_.Write(testing::draft::Sanitised("C2")));
  EXPECT_THAT(Broken("C2"), Not(Contains("note vessel-not-sanitised")));
}

TEST_F(VesselRulesTest, GearIsSanitisedToo) {
  Do(phone_.RegisterEquipment("pump"));
  On(5);
  Do(phone_.Write(testing::draft::Sanitised("C2")));
  On(6);
  rundlet::v1::Entry draft =
      testing::draft::Racking({testing::DrawAll("C1")}, {testing::FillRest("C2")});
  draft.mutable_racking()->add_equipment_ids(testing::IdOf("pump").ToBytes());
  Do(phone_.Write(draft));
  EXPECT_THAT(Of("vessel-not-sanitised", "C2").text, HasSubstr("pump was used"));
  On(5.5);
  Do(phone_.Write(testing::draft::Sanitised("pump")));
  EXPECT_THAT(Broken("C2"), Not(Contains("note vessel-not-sanitised")));
}

TEST_F(VesselRulesTest, ADensityThatStaysWhereItIs) {
  On(1);
  Density(1.090);
  On(10);
  Density(1.020);
  On(12.9);
  Density(1.019);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-stuck"))) << "not yet three days";
  On(13.1);
  const auto last = Density(1.0185);
  const Finding stuck = Of("fermentation-stuck");
  EXPECT_EQ(CauseOf(stuck), EntryId(last.entry));
  EXPECT_THAT(stuck.text, HasSubstr("0.0015 SG in 3 days"));
  On(14);
  Density(1.018);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-stuck"))) << "it moves: 0.002 in four days";
}

TEST_F(VesselRulesTest, JuiceThatHasNotBegunIsNotStuckNorIsDryWine) {
  On(1);
  Density(1.090);
  On(5);
  Density(1.0895);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-stuck")));
  On(20);
  Density(1.000);
  On(30);
  Density(1.000);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-stuck")));
}

TEST_F(VesselRulesTest, TemperatureWhileItFerments) {
  On(1);
  Density(1.090);
  Temperature(5);
  EXPECT_THAT(Broken(), Not(Contains("note fermentation-temperature-low"))) << "no yeast yet";
  Add("white wine yeast", 5 * kGram);
  On(2);
  Temperature(9.9);
  EXPECT_THAT(Broken(), Contains("note fermentation-temperature-low"));
  Temperature(10);
  EXPECT_THAT(Broken(), Not(Contains("note fermentation-temperature-low")));
  Temperature(32);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-temperature-high")));
  Temperature(32.1);
  EXPECT_THAT(Of("fermentation-temperature-high").text, HasSubstr("32.1 °C while fermenting"));
  Read(rundlet::v1::READING_KIND_TEMPERATURE, rundlet::v1::READING_UNIT_FAHRENHEIT, 68);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-temperature-high")));
  On(30);
  Density(0.996);
  Temperature(4);
  EXPECT_THAT(Broken(), Not(Contains("note fermentation-temperature-low"))) << "it is done";
}

}  // namespace
}  // namespace rundlet::rules
