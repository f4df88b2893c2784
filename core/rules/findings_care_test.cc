// Goal: each rule of hot water, rinsing, instruments and a yeast's own temperatures is tripped,
// kept by just enough, and lifted the way it says. Method: 20 L of an invented wine, with entries
// as the test says.
#include <functional>
#include <optional>

#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using ::testing::Not;

class CareRulesTest : public FindingsTest {
 protected:
  CareRulesTest() {
    rundlet::v1::Entry draft = testing::draft::VesselRegistered("Glass", 23 * kLitre);
    draft.mutable_registered()->mutable_vessel()->set_made_of("clear Glass");
    Do(phone_.Write(draft));
    Do(phone_.RegisterEquipment("hydrometer"));
    Do(phone_.RegisterEquipment("pump"));
  }
  WrittenEntry Sanitise(absl::string_view thing,
                        const std::function<void(rundlet::v1::Sanitised&)>& say) {
    rundlet::v1::Entry draft = testing::draft::Sanitised(thing);
    say(*draft.mutable_sanitised());
    return Do(phone_.Write(draft));
  }
  WrittenEntry AddMixed(absl::string_view material, double celsius, absl::string_view vessel) {
    rundlet::v1::AdditionLine line = testing::OfMaterial(material, testing::Mass(10 * kGram));
    line.set_mixed_at_millic(static_cast<int32_t>(celsius * 1000));
    return Do(phone_.Add(vessel, {line}));
  }
  WrittenEntry ReadWith(absl::string_view gear, double gravity) {
    rundlet::v1::Entry draft = testing::draft::Reading(
        "C1", {testing::Measured(rundlet::v1::READING_KIND_DENSITY,
                                 rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY,
                                 static_cast<int64_t>(gravity * 1e6 + 0.5))});
    draft.mutable_reading()->set_equipment_id(testing::IdOf(gear).ToBytes());
    return Do(phone_.Write(draft));
  }
  WrittenEntry Calibrate(absl::string_view gear, absl::string_view due_on) {
    rundlet::v1::Entry draft;
    rundlet::v1::Calibrated& calibrated = *draft.mutable_calibrated();
    calibrated.set_equipment_id(testing::IdOf(gear).ToBytes());
    calibrated.set_against("water at 20 C");
    calibrated.set_unit(rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY);
    calibrated.set_expected_micro(998'200);
    calibrated.set_found_micro(998'200);
    calibrated.set_due_on(std::string(due_on));
    return Do(phone_.Write(draft));
  }
  void RackInto(absl::string_view vessel, absl::string_view from) {
    Do(phone_.Rack({testing::DrawAll(from)}, {testing::FillRest(vessel)}));
  }
  WrittenEntry Temperature(double celsius) {
    return Read(rundlet::v1::READING_KIND_TEMPERATURE, rundlet::v1::READING_UNIT_CELSIUS, celsius);
  }
  void Yeast(absl::string_view name, std::optional<double> coldest, std::optional<double> warmest) {
    rundlet::v1::Entry draft = testing::draft::MaterialRegistered(name);
    auto& material = *draft.mutable_registered()->mutable_material();
    if (coldest.has_value()) material.set_coldest_millic(static_cast<int32_t>(*coldest * 1000));
    if (warmest.has_value()) material.set_warmest_millic(static_cast<int32_t>(*warmest * 1000));
    Do(phone_.Write(draft));
  }
};

TEST_F(CareRulesTest, HotWaterInEmptyGlass) {
  On(2);
  Sanitise("Glass", [](auto& said) { said.set_temperature_millic(50'000); });
  EXPECT_EQ(Of("vessel-hot-glass", "Glass").rule_id, "") << "just as warm as it may be";
  On(3);
  const auto hot = Sanitise("Glass", [](auto& said) {
    said.set_temperature_millic(50'100);
    said.set_agent("hot water");
  });
  const Finding cracks = Of("vessel-hot-glass", "Glass");
  EXPECT_EQ(cracks.severity, v1::SEVERITY_WARN);
  EXPECT_EQ(CauseOf(cracks), EntryId(hot.entry));
  EXPECT_THAT(cracks.text, HasSubstr("Glass: hot water of 50.1 °C in glass; above 50"));
  EXPECT_THAT(FindingsFor(fold_, kNoHandle, now_us_),
              Contains(::testing::Field(&Finding::rule_id, "vessel-hot-glass")))
      << "empty vessels are looked at as well";
  On(4);
  Sanitise("Glass", [](auto& said) { said.set_temperature_millic(20'000); });
  EXPECT_EQ(Of("vessel-hot-glass", "Glass").rule_id, "") << "the next cleaning was cooler";
}

TEST_F(CareRulesTest, OtherVesselsStandHeat) {
  On(2);
  Sanitise("Barrel", [](auto& said) { said.set_temperature_millic(90'000); });
  EXPECT_EQ(Of("vessel-hot-glass", "Barrel").rule_id, "");
}

TEST_F(CareRulesTest, AnAdditionThatIsHotInEmptyGlass) {
  On(2);
  const auto hot = AddMixed("bentonite", 60, "Glass");
  EXPECT_EQ(CauseOf(Of("vessel-hot-glass", "Glass")), EntryId(hot.entry));
  phone_.Amending(hot.entry);
  On(2);
  AddMixed("bentonite", 50, "Glass");
  EXPECT_EQ(Of("vessel-hot-glass", "Glass").rule_id, "");
  On(3);
  RackInto("Glass", "C1");
  On(4);
  AddMixed("bentonite", 60, "Glass");
  EXPECT_EQ(Of("vessel-hot-glass", "Glass").rule_id, "") << "wine is in it, and cools it";
}

TEST_F(CareRulesTest, BentoniteWantsHotWater) {
  On(2);
  Add("bentonite", 10 * kGram);
  EXPECT_EQ(Of("fining-bentonite-cold").rule_id, "") << "nobody wrote how warm it was";
  On(10);
  AddMixed("bentonite", 50, "C1");
  EXPECT_EQ(Of("fining-bentonite-cold").rule_id, "");
  On(20);
  const auto cold = AddMixed("bentonite", 49.9, "C1");
  EXPECT_EQ(CauseOf(Of("fining-bentonite-cold")), EntryId(cold.entry));
  EXPECT_THAT(Of("fining-bentonite-cold").text,
              HasSubstr("bentonite was stirred into water of 49.9 °C; under 50"));
  phone_.Amending(cold.entry);
  On(20);
  AddMixed("bentonite", 60, "C1");
  EXPECT_EQ(Of("fining-bentonite-cold").rule_id, "");
}

TEST_F(CareRulesTest, NotRinsedBeforeTheNextUse) {
  On(2);
  const auto agent = [](auto& said) {
    said.set_agent("caustic soda");
    said.set_rinse_needed(true);
  };
  Sanitise("Glass", agent);
  On(3);
  Do(phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("Glass")}));
  const Finding dirty = Of("vessel-not-rinsed", "Glass");
  EXPECT_EQ(dirty.severity, v1::SEVERITY_WARN);
  EXPECT_THAT(dirty.text, HasSubstr("the vessel was used after caustic soda"));
  On(2.5);
  Sanitise("Glass", [&](auto& said) {
    agent(said);
    said.set_rinsed(true);
  });
  EXPECT_EQ(Of("vessel-not-rinsed", "Glass").rule_id, "") << "rinsed after all";
}

TEST_F(CareRulesTest, AnAgentThatNeedsNoRinse) {
  On(2);
  Sanitise("Glass", [](auto& said) { said.set_agent("potassium metabisulfite"); });
  On(3);
  RackInto("Glass", "C1");
  EXPECT_EQ(Of("vessel-not-rinsed", "Glass").rule_id, "");
}

TEST_F(CareRulesTest, GearIsRinsedToo) {
  On(2);
  const auto cleaning = Sanitise("pump", [](auto& said) { said.set_rinse_needed(true); });
  On(3);
  rundlet::v1::Entry draft =
      testing::draft::Racking({testing::DrawAll("C1")}, {testing::FillRest("C2")});
  draft.mutable_racking()->add_equipment_ids(testing::IdOf("pump").ToBytes());
  Do(phone_.Write(draft));
  EXPECT_THAT(Of("vessel-not-rinsed", "C2").text, HasSubstr("pump was used after "));
  Do(phone_.Void(cleaning.entry));
  EXPECT_EQ(Of("vessel-not-rinsed", "C2").rule_id, "");
}

// Day 0 of the fixture is 2024-01-01.
TEST_F(CareRulesTest, InstrumentsThatNobodyChecked) {
  On(2);
  ReadWith("hydrometer", 1.090);
  EXPECT_EQ(Of("instrument-not-calibrated").rule_id, "") << "nobody keeps that here";
  On(3);
  Calibrate("pump", "");
  EXPECT_EQ(Of("instrument-not-calibrated").rule_id, "") << "it was read before that began";
  On(4);
  const auto read = ReadWith("hydrometer", 1.085);
  const Finding never = Of("instrument-not-calibrated");
  EXPECT_EQ(never.severity, v1::SEVERITY_NOTE);
  EXPECT_EQ(CauseOf(never), EntryId(read.entry));
  EXPECT_THAT(never.text, HasSubstr("hydrometer gave its last reading, and was never held"));
  On(3.5);
  Calibrate("hydrometer", "2024-02-01");
  EXPECT_EQ(Of("instrument-not-calibrated").rule_id, "");
  On(31);  // 2024-02-01
  ReadWith("hydrometer", 1.010);
  EXPECT_EQ(Of("instrument-not-calibrated").rule_id, "") << "due on that day";
  On(32);
  ReadWith("hydrometer", 1.008);
  EXPECT_THAT(Of("instrument-not-calibrated").text, HasSubstr("checked again by 2024-02-01"));
  On(33);
  Calibrate("hydrometer", "2025-02-01");
  EXPECT_NE(Of("instrument-not-calibrated").rule_id, "") << "that says nothing of the day before";
  On(34);
  ReadWith("hydrometer", 1.006);
  EXPECT_EQ(Of("instrument-not-calibrated").rule_id, "") << "read again";
}

TEST_F(CareRulesTest, AYeastsOwnTemperatures) {
  Yeast("cold loving yeast", 6, 18);
  On(1);
  Density(1.090);
  Add("cold loving yeast", 5 * kGram);
  On(2);
  Temperature(6);
  EXPECT_THAT(Broken(), Not(Contains("note fermentation-temperature-low"))) << "it says its own";
  EXPECT_EQ(Of("yeast-too-cold").rule_id, "");
  Temperature(5.9);
  EXPECT_THAT(Of("yeast-too-cold").text,
              HasSubstr("5.9 °C while fermenting; cold loving yeast wants 6"));
  Temperature(18);
  EXPECT_EQ(Of("yeast-too-cold").rule_id, "") << "a warmer reading";
  EXPECT_EQ(Of("yeast-too-warm").rule_id, "");
  Temperature(18.1);
  EXPECT_THAT(Of("yeast-too-warm").text, HasSubstr("cold loving yeast stands 18"));
  Temperature(17);
  EXPECT_EQ(Of("yeast-too-warm").rule_id, "") << "a cooler reading";
}

TEST_F(CareRulesTest, WhatAYeastDoesNotSayIsTheUsual) {
  Yeast("shy yeast", std::nullopt, 36);
  On(1);
  Density(1.090);
  Add("shy yeast", 5 * kGram);
  On(2);
  Temperature(9);
  EXPECT_THAT(Broken(), Contains("note fermentation-temperature-low"));
  Temperature(35);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-temperature-high")));
  EXPECT_THAT(Broken(), Not(Contains("warn yeast-too-warm")));
}

TEST_F(CareRulesTest, OfSeveralYeastsTheHardiestCounts) {
  Yeast("first yeast", 15, 25);
  Yeast("second yeast", 10, 30);
  On(1);
  Density(1.090);
  Add("first yeast", 5 * kGram);
  Add("second yeast", 5 * kGram);
  On(2);
  Temperature(29);
  EXPECT_EQ(Of("yeast-too-warm").rule_id, "");
  Temperature(31);
  EXPECT_THAT(Of("yeast-too-warm").text, HasSubstr("second yeast stands 30"));
}

}  // namespace
}  // namespace rundlet::rules
