// Goal: limits of law are those of the class that the lot says it is, with doubt where nothing
// settles it, and all that was added is counted, however it is measured. Method: 20 L of an
// invented wine; the figures of the limits are those of the built-in lists.
#include <functional>
#include <type_traits>

#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using testing::kMilligram;
using testing::kMillilitre;
using ::testing::Not;

// 20 L and 57.63 % of SO2: so many milligrams of the salt make 1 mg/L.
constexpr double kSaltMgPerMgL = 20 / 0.5763;

class LotRulesTest : public FindingsTest {
 protected:
  void Lot(const std::function<void(rundlet::v1::Lot&)>& say) {
    Change<rundlet::v1::Lot>("Riesling", say);
  }
  template <typename T>
  void Change(absl::string_view thing, const std::function<void(T&)>& say) {
    rundlet::v1::Entry draft;
    draft.mutable_changed()->set_thing_id(testing::IdOf(thing).ToBytes());
    if constexpr (std::is_same_v<T, rundlet::v1::Lot>) {
      say(*draft.mutable_changed()->mutable_lot());
    } else {
      say(*draft.mutable_changed()->mutable_material());
    }
    Do(phone_.Write(draft));
  }
  WrittenEntry Sulfite(double mg_l) {
    return Add("potassium metabisulfite", static_cast<int64_t>(mg_l * kSaltMgPerMgL * kMilligram));
  }
  void Sugar(double g_l) {
    Read(rundlet::v1::READING_KIND_RESIDUAL_SUGAR, rundlet::v1::READING_UNIT_G_PER_L, g_l);
  }
  void Registered(absl::string_view name, rundlet::v1::Dimension dimension) {
    Do(phone_.Write(testing::draft::MaterialRegistered(name, dimension)));
  }
};

TEST_F(LotRulesTest, PastTheLimitOfEveryClassIsAWarning) {
  Jurisdictions({"EU"});
  Sulfite(249);
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_NOTE) << "a sweet white may have 250";
  Sulfite(2);
  Finding past = Of("so2-past-limit");
  EXPECT_EQ(past.severity, v1::SEVERITY_WARN);
  EXPECT_EQ(past.limit_id, "eu-so2-white-sweet");
  EXPECT_THAT(past.text, HasSubstr("whatever its colour and its sugar may show"));
  Sugar(1);
  past = Of("so2-past-limit");
  EXPECT_EQ(past.limit_id, "eu-so2-white-dry") << "200 is the highest of dry wine";
  On(5);
  TotalSo2(201);
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_WARN);
  On(6);
  TotalSo2(200);
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_NOTE) << "a red may be past 150";
  Colour("Riesling", "deep red");
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_WARN);
}

TEST_F(LotRulesTest, OrganicWineHasLessSulfite) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Sugar(1);
  Sulfite(149);
  Lot([](auto& lot) { lot.set_organic(true); });
  EXPECT_EQ(Of("so2-past-limit").rule_id, "");
  Sulfite(2);
  EXPECT_EQ(Of("so2-past-limit").limit_id, "eu-organic-so2-white-dry");
  Lot([](auto& lot) { lot.set_organic(false); });
  EXPECT_EQ(Of("so2-past-limit").rule_id, "") << "200 is the ceiling of others";
}

TEST_F(LotRulesTest, StyleAndFruitChooseTheLimit) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Sugar(1);
  Sulfite(210);
  EXPECT_EQ(Of("so2-past-limit").limit_id, "eu-so2-white-dry") << "still, where nobody says";
  Lot([](auto& lot) { lot.set_style("sparkling"); });
  EXPECT_EQ(Of("so2-past-limit").rule_id, "") << "235 for sparkling wine";
  Sulfite(30);
  EXPECT_EQ(Of("so2-past-limit").limit_id, "eu-so2-sparkling");
  Lot([](auto& lot) {
    lot.set_style("still");
    lot.set_fruit("pome");
  });
  EXPECT_THAT(Of("so2-past-limit").text, Not(HasSubstr("of grapes")));
}

TEST_F(LotRulesTest, OfWineForHomeTheLawIsAdvice) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Sugar(1);
  Sulfite(201);
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_WARN);
  Add("shrimp chitosan", kGram);
  EXPECT_THAT(Broken(), Contains("warn fining-crustacean-chitosan"));
  Lot([](auto& lot) { lot.set_made_for("home"); });
  const Finding advice = Of("so2-past-limit");
  EXPECT_EQ(advice.severity, v1::SEVERITY_NOTE);
  EXPECT_THAT(advice.text, HasSubstr("for wine that is sold; advice for yours"));
  EXPECT_THAT(Of("so2-statement").text, HasSubstr("advice for yours"));
  EXPECT_THAT(Broken(), Not(Contains("warn fining-crustacean-chitosan")));
  EXPECT_THAT(Broken(), Contains("note fining-allergen")) << "an allergen is one at home too";
  Lot([](auto& lot) { lot.set_made_for("sale"); });
  EXPECT_EQ(Of("so2-past-limit").severity, v1::SEVERITY_WARN);
}

TEST_F(LotRulesTest, TabletsCountByWhatOneWeighs) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Sugar(1);
  Registered("campden tablets", rundlet::v1::DIMENSION_COUNT);
  const auto tablets = [&](int64_t count) {
    return Do(phone_.Add("C1", {testing::OfMaterial("campden tablets", testing::Count(count))}));
  };
  const auto first = tablets(15);
  const Finding unknown = Of("material-not-counted");
  EXPECT_EQ(unknown.severity, v1::SEVERITY_NOTE);
  EXPECT_EQ(CauseOf(unknown), EntryId(first.entry));
  EXPECT_THAT(unknown.text, HasSubstr("campden tablets is in it, and no ceiling counts it: nobody "
                                      "has said what a piece of it weighs (--unit-mass)"));
  Change<rundlet::v1::Material>("campden tablets",
                                [](auto& material) { material.set_unit_mass_ug(440'000); });
  EXPECT_THAT(Of("material-not-counted").text, HasSubstr("how much SO2 it yields (--so2)"));
  Change<rundlet::v1::Material>("campden tablets",
                                [](auto& material) { material.set_so2_ppm(576'300); });
  EXPECT_EQ(Of("material-not-counted").rule_id, "");
  // 15 of 0.44 g at 57.63 % in 20 L: 190.2 mg/L.
  EXPECT_EQ(Of("so2-past-limit").rule_id, "");
  tablets(1);
  EXPECT_EQ(Of("so2-past-limit").limit_id, "eu-so2-white-dry") << "202.9 mg/L";
  EXPECT_THAT(Of("so2-past-limit").text, HasSubstr("202.9 mg/L"));
}

TEST_F(LotRulesTest, SolutionsCountByWhatAMillilitreHolds) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Sugar(1);
  Registered("sulfite solution", rundlet::v1::DIMENSION_VOLUME);
  Change<rundlet::v1::Material>("sulfite solution", [](auto& material) {
    material.set_unit_mass_ug(100'000);  // 10 % of the salt
    material.set_so2_ppm(576'300);
  });
  Sulfite(150);
  // 17 mL with 1.7 g of the salt: 49 mg/L.
  Do(phone_.Add("C1",
                {testing::OfMaterial("sulfite solution", testing::Volume(17 * kMillilitre))}));
  EXPECT_EQ(Of("so2-past-limit").rule_id, "") << "both together: 199 mg/L";
  Do(phone_.Add("C1", {testing::OfMaterial("sulfite solution", testing::Volume(kMillilitre))}));
  EXPECT_EQ(Of("so2-past-limit").limit_id, "eu-so2-white-dry");
  EXPECT_EQ(Of("material-not-counted").rule_id, "");
}

TEST_F(LotRulesTest, WhatNoLimitCountsNeedsNoWeight) {
  Jurisdictions({"EU"});
  Registered("isinglass solution", rundlet::v1::DIMENSION_VOLUME);
  Do(phone_.Add("C1", {testing::OfMaterial("isinglass solution", testing::Volume(kLitre / 10))}));
  EXPECT_EQ(Of("material-not-counted").rule_id, "") << "allowed without a figure";
  Registered("PVPP solution", rundlet::v1::DIMENSION_VOLUME);
  Do(phone_.Add("C1", {testing::OfMaterial("PVPP solution", testing::Volume(kLitre / 10))}));
  EXPECT_THAT(Of("material-not-counted").text, HasSubstr("how much of it is in a millilitre"));
}

class MustRulesTest : public LotRulesTest {
 protected:
  WrittenEntry AddSugar(double g_l) { return Add("sugar", static_cast<int64_t>(g_l * 20 * kGram)); }
  WrittenEntry AddWater(int64_t volume_ul) {
    return Do(
        phone_.Add("C1", {testing::OfMaterial("Water", testing::Volume(volume_ul), volume_ul)}));
  }
};

TEST_F(MustRulesTest, SugarRaisesTheAlcohol) {
  Jurisdictions({"EU"});
  AddSugar(25.2);  // 1.497 % vol
  EXPECT_EQ(Of("must-enriched-past-limit").rule_id, "");
  AddSugar(0.1);  // 1.503 % vol
  const Finding maybe = Of("must-enriched-past-limit");
  EXPECT_EQ(maybe.severity, v1::SEVERITY_NOTE) << "the zone is not known";
  EXPECT_EQ(maybe.limit_id, "eu-enrichment-zone-c");
  EXPECT_THAT(maybe.text, HasSubstr("C1: alcohol raised by 1.51 % vol"));
  EXPECT_THAT(maybe.text, HasSubstr("16.83 g/L for 1 % vol"));
  const auto last = AddSugar(25.3);  // 3.007 % vol
  const Finding past = Of("must-enriched-past-limit");
  EXPECT_EQ(past.severity, v1::SEVERITY_WARN) << "past that of every zone";
  EXPECT_EQ(past.limit_id, "eu-enrichment-zone-a");
  EXPECT_EQ(CauseOf(past), EntryId(last.entry));
  Do(phone_.Void(last.entry));
  EXPECT_EQ(Of("must-enriched-past-limit").severity, v1::SEVERITY_NOTE);
}

TEST_F(MustRulesTest, SugarInDryWineSweetensIt) {
  Jurisdictions({"EU"});
  On(30);
  AddSugar(60);
  EXPECT_NE(Of("must-enriched-past-limit").rule_id, "") << "nobody read that it was dry";
  On(29);
  Density(1.001);
  EXPECT_NE(Of("must-enriched-past-limit").rule_id, "");
  On(29.5);
  Density(1.000);
  EXPECT_EQ(Of("must-enriched-past-limit").rule_id, "");
}

TEST_F(MustRulesTest, SugarOfOtherFruitIsNotEnrichment) {
  Jurisdictions({"EU"});
  AddSugar(60);
  Lot([](auto& lot) { lot.set_fruit("other"); });
  EXPECT_EQ(Of("must-enriched-past-limit").rule_id, "");
}

TEST_F(MustRulesTest, WaterIsAShareOfTheVolume) {
  Jurisdictions({"AU"});
  AddWater(1500 * kMillilitre);  // 1.5 of 21.5 L: 6.98 %
  EXPECT_EQ(Of("must-water-past-limit").rule_id, "");
  const auto more = AddWater(10 * kMillilitre);  // 7.02 %
  const Finding past = Of("must-water-past-limit");
  EXPECT_EQ(past.limit_id, "au-water");
  EXPECT_EQ(CauseOf(past), EntryId(more.entry));
  EXPECT_THAT(past.text, HasSubstr("7.02 % of the volume"));
  Do(phone_.Receive("Riesling", {testing::Fill("C2", 10 * kLitre)}));
  Do(phone_.Blend({testing::DrawAll("C1"), testing::DrawAll("C2")}, {testing::FillRest("C3")}));
  EXPECT_EQ(Of("must-water-past-limit", "C3").rule_id, "") << "a blend with one that has none";
}

TEST_F(MustRulesTest, WaterIsForbiddenInTheUnion) {
  Jurisdictions({"EU"});
  EXPECT_EQ(Of("must-water-past-limit").rule_id, "");
  const auto water = AddWater(10 * kMillilitre);
  EXPECT_EQ(Of("must-water-past-limit").limit_id, "eu-water");
  Do(phone_.Void(water.entry));
  EXPECT_EQ(Of("must-water-past-limit").rule_id, "");
}

TEST_F(MustRulesTest, WaterAndSugarTogether) {
  Jurisdictions({"US"});
  Do(phone_.Add("C1", {testing::OfMaterial("sugar", testing::Mass(2000 * kGram),
                                           1240 * kMillilitre)}));  // 1.24 of 21.24 L: 5.84 %
  const auto water = AddWater(8700 * kMillilitre);                  // 8.7 of 29.94 L: 29.06 %
  EXPECT_EQ(Of("must-ameliorated-past-limit").rule_id, "");
  EXPECT_EQ(Of("must-water-past-limit").rule_id, "") << "one per cent is for other materials";
  const auto more = AddWater(100 * kMillilitre);
  EXPECT_EQ(Of("must-ameliorated-past-limit").limit_id, "us-amelioration");
  EXPECT_EQ(CauseOf(Of("must-ameliorated-past-limit")), EntryId(more.entry));
  Do(phone_.Void(water.entry));
  EXPECT_EQ(Of("must-ameliorated-past-limit").rule_id, "");
}

TEST_F(MustRulesTest, AResidueOfAFiningIsNotWhatWasAdded) {
  Jurisdictions({"AU"});
  Add("PVPP", 16 * kGram);  // 800 mg/L, nearly all of which falls to the ground
  EXPECT_EQ(Of("fining-past-limit").rule_id, "") << "100 mg/L may be left in the wine";
}

}  // namespace
}  // namespace rundlet::rules
