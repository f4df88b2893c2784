// Goal: each rule of sulfite and sorbate, and of what the law limits, is tripped, kept by just
// enough, and lifted. Method: 20 L of an invented wine; the figures of the limits are those of the
// built-in lists.
#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kMilligram;
using ::testing::Not;

class SulfiteRulesTest : public FindingsTest {};

// 20 L and 57.63 % of SO2: so many milligrams of the salt make 1 mg/L.
constexpr double kSaltMgPerMgL = 20 / 0.5763;

TEST_F(SulfiteRulesTest, WhatWasAddedIsHeldAgainstTheLimitOfTheWine) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Read(rundlet::v1::READING_KIND_RESIDUAL_SUGAR, rundlet::v1::READING_UNIT_G_PER_L, 2);
  Add("potassium metabisulfite", static_cast<int64_t>(199 * kSaltMgPerMgL * kMilligram));
  EXPECT_THAT(Broken(), Not(Contains("warn so2-past-limit"))) << "200 mg/L is the ceiling";
  const auto last =
      Add("potassium metabisulfite", static_cast<int64_t>(2 * kSaltMgPerMgL * kMilligram));
  const Finding past = Of("so2-past-limit");
  EXPECT_EQ(past.severity, v1::SEVERITY_WARN);
  EXPECT_EQ(past.limit_id, "eu-so2-white-dry");
  EXPECT_EQ(CauseOf(past), EntryId(last.entry));
  EXPECT_THAT(past.text, HasSubstr("C1: 201 mg/L of total sulfur dioxide, added in all; EU, ros"));
  EXPECT_THAT(past.source, HasSubstr("2019/934"));
  EXPECT_TRUE(past.legal);
  On(5);
  TotalSo2(150);
  EXPECT_THAT(Broken(), Not(Contains("warn so2-past-limit"))) << "what is measured counts";
  On(6);
  const auto read = TotalSo2(201);
  EXPECT_EQ(CauseOf(Of("so2-past-limit")), EntryId(read.entry));
}

TEST_F(SulfiteRulesTest, AnAmendedSlipLiftsTheFinding) {
  Jurisdictions({"EU"});
  const auto slip = Add("potassium metabisulfite", 20 * kGram);
  EXPECT_NE(Of("so2-past-limit").rule_id, "");
  phone_.Amending(slip.entry);
  Add("potassium metabisulfite", 2 * kGram);
  EXPECT_EQ(Of("so2-past-limit").rule_id, "");
}

TEST_F(SulfiteRulesTest, WhatIsNotKnownOfAWineMakesItANote) {
  Jurisdictions({"EU"});
  Add("potassium metabisulfite", static_cast<int64_t>(180 * kSaltMgPerMgL * kMilligram));
  const Finding maybe = Of("so2-past-limit");
  EXPECT_EQ(maybe.severity, v1::SEVERITY_NOTE);
  EXPECT_EQ(maybe.limit_id, "eu-so2-red-dry");
  EXPECT_THAT(maybe.text, HasSubstr("whether it applies, its colour"));
  Colour("Riesling", "white");
  EXPECT_EQ(Of("so2-past-limit").rule_id, "") << "180 is under both ceilings of a white";
}

TEST_F(SulfiteRulesTest, TheStatementIsOwedFromTenMilligrams) {
  Add("potassium metabisulfite", static_cast<int64_t>(9.9 * kSaltMgPerMgL * kMilligram));
  EXPECT_THAT(Broken(), Not(Contains("note so2-statement")));
  Add("potassium metabisulfite", static_cast<int64_t>(0.2 * kSaltMgPerMgL * kMilligram));
  EXPECT_THAT(Broken(), Contains("note so2-statement"));
  Jurisdictions({"US"});
  EXPECT_THAT(Of("so2-statement").limit_id, HasSubstr("us-"));
  On(3);
  TotalSo2(9);
  EXPECT_THAT(Broken(), Not(Contains("note so2-statement")));
}

TEST_F(SulfiteRulesTest, MolecularSo2IsJudgedByFreeAndPh) {
  Read(rundlet::v1::READING_KIND_PH, rundlet::v1::READING_UNIT_PH, 3.5);
  FreeSo2(10);
  EXPECT_THAT(Broken(), Contains("warn so2-molecular-low")) << "about 0.25 mg/L";
  FreeSo2(30);
  EXPECT_THAT(Broken(), Not(Contains("warn so2-molecular-low"))) << "about 0.7 mg/L";
  EXPECT_THAT(Broken(), Not(Contains("warn so2-molecular-high")));
  FreeSo2(110);
  EXPECT_THAT(Broken(), Contains("warn so2-molecular-high")) << "about 2.6 mg/L";
  FreeSo2(10);
  Add("potassium metabisulfite", kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn so2-molecular-low"))) << "nobody knows it now";
}

TEST_F(SulfiteRulesTest, AReadingTooSoonAfterSulfite) {
  On(1);
  Add("potassium metabisulfite", kGram);
  On(1 + 11.9 / 24);
  FreeSo2(40);
  EXPECT_THAT(Of("so2-too-soon-to-measure").text, HasSubstr("11 hours after sulfite"));
  On(2);
  FreeSo2(30);
  EXPECT_THAT(Broken(), Not(Contains("note so2-too-soon-to-measure"))) << "read again a day later";
}

class SorbateRulesTest : public FindingsTest {};

TEST_F(SorbateRulesTest, OverItsCeilingAsSorbicAcid) {
  Jurisdictions({"EU", "US"});
  Add("potassium sorbate", 5'350 * kMilligram);  // 267.5 mg/L of the salt: 199.7 of the acid
  EXPECT_THAT(Broken(), Not(Contains("warn sorbate-past-limit")));
  Add("potassium sorbate", 50 * kMilligram);
  const Finding past = Of("sorbate-past-limit");
  EXPECT_EQ(past.limit_id, "eu-sorbic-acid") << "the United States allow 300 mg/L";
}

TEST_F(SorbateRulesTest, NeverWithoutSulfite) {
  On(1);
  Add("potassium metabisulfite", kGram);
  On(31.5);
  const auto sorbate = Add("potassium sorbate", 4 * kGram);
  EXPECT_EQ(CauseOf(Of("sorbate-without-sulfite")), EntryId(sorbate.entry));
  On(2);
  Add("potassium metabisulfite", kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn sorbate-without-sulfite"))) << "29.5 days before";
}

TEST_F(SorbateRulesTest, NeverWithMalolacticBacteria) {
  Add("potassium sorbate", 4 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("stop sorbate-with-malolactic")));
  Do(phone_.Noting("no malolactic smell, no fizz").Observe("C1"));
  EXPECT_THAT(Broken(), Contains("stop sorbate-with-malolactic")) << "somebody speaks of it";
}

TEST_F(SorbateRulesTest, BacteriaAfterSorbateAreTheCause) {
  Add("potassium sorbate", 4 * kGram);
  const auto bacteria = Add("malolactic culture", kGram);
  const Finding stop = Of("sorbate-with-malolactic");
  EXPECT_EQ(stop.severity, v1::SEVERITY_STOP);
  EXPECT_EQ(CauseOf(stop), EntryId(bacteria.entry));
  Do(phone_.Void(bacteria.entry));
  EXPECT_EQ(Of("sorbate-with-malolactic").rule_id, "");
}

TEST_F(SorbateRulesTest, TheyMeetInABlendToo) {
  Do(phone_.Receive("Elder", {testing::Fill("C2", 10 * testing::kLitre)}));
  Add("potassium sorbate", 4 * kGram, "C1");
  Add("malolactic culture", kGram, "C2");
  Do(phone_.Blend({testing::DrawAll("C1"), testing::DrawAll("C2")}, {testing::FillRest("C3")}));
  EXPECT_THAT(Broken("C3"), Contains("stop sorbate-with-malolactic"));
}

TEST_F(SorbateRulesTest, NotBeforeTheDensityIsStable) {
  On(1);
  Density(0.997);
  On(1.8);
  Density(0.996);
  On(2);
  Add("potassium sorbate", 4 * kGram);
  EXPECT_THAT(Broken(), Contains("warn sorbate-before-stable")) << "19 hours apart";
  On(1.9);
  Density(0.996);
  EXPECT_THAT(Broken(), Not(Contains("warn sorbate-before-stable"))) << "21 hours and 0.001 apart";
  On(1.95);
  Density(0.9955);
  EXPECT_THAT(Broken(), Contains("warn sorbate-before-stable")) << "it moved again";
}

class CeilingRulesTest : public FindingsTest {};

TEST_F(CeilingRulesTest, CopperPvppAndFoodForYeast) {
  Jurisdictions({"EU"});
  Add("copper sulfate", 200 * kMilligram);  // 10 mg/L
  Add("PVPP", 16 * kGram);                  // 800 mg/L
  Add("diammonium phosphate", 20 * kGram);  // 1 g/L
  for (const char* rule : {"copper-past-limit", "fining-past-limit", "nutrient-past-limit"})
    EXPECT_EQ(Of(rule).rule_id, "") << rule;
  Add("copper sulfate", kMilligram);
  Add("PVPP", 10 * kMilligram);
  Add("diammonium phosphate", 10 * kMilligram);
  EXPECT_EQ(Of("copper-past-limit").limit_id, "eu-copper-sulfate");
  EXPECT_EQ(Of("fining-past-limit").limit_id, "eu-pvpp");
  EXPECT_EQ(Of("nutrient-past-limit").limit_id, "eu-ammonium-salts");
  Jurisdictions({});
  EXPECT_EQ(Of("copper-past-limit").rule_id, "") << "no law is chosen";
}

TEST_F(CeilingRulesTest, VolatileAcidityByItsReading) {
  Jurisdictions({"US"});
  Colour("Riesling", "white");
  Read(rundlet::v1::READING_KIND_VOLATILE_ACIDITY, rundlet::v1::READING_UNIT_G_PER_L_ACETIC, 1.1);
  EXPECT_EQ(Of("volatile-acidity-past-limit").rule_id, "");
  Read(rundlet::v1::READING_KIND_VOLATILE_ACIDITY, rundlet::v1::READING_UNIT_G_PER_L_ACETIC, 1.3);
  EXPECT_NE(Of("volatile-acidity-past-limit").rule_id, "");
  Read(rundlet::v1::READING_KIND_VOLATILE_ACIDITY, rundlet::v1::READING_UNIT_G_PER_L_ACETIC, 0.5);
  EXPECT_EQ(Of("volatile-acidity-past-limit").rule_id, "");
}

}  // namespace
}  // namespace rundlet::rules
