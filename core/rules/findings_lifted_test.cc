// Goal: findings of law are lifted in the ways that their rules name - a blend, a reading, the true
// figure - and not only by an amendment. Method: 20 L of an invented wine just inside a limit of
// the built-in lists, past it, and made good.
#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using testing::kMilligram;
using ::testing::Not;

class LiftedTest : public FindingsTest {
 protected:
  LiftedTest() {
    for (const char* name :
         {"lysozyme", "dmdc", "ascorbic acid", "citric acid", "activated carbon"})
      Material(name);
  }
  // The wine together with as much of another that has nothing in it.
  void BlendWithAnother() {
    Do(phone_.Receive("Elder", {testing::Fill("C2", 20 * kLitre)}));
    Do(phone_.Blend({testing::DrawAll("C1"), testing::DrawAll("C2")}, {testing::FillRest("C3")}));
  }
  // 20 L of wine: so much of a material makes so many milligrams a litre.
  WrittenEntry AddMgL(absl::string_view material, double mg_l) {
    return Add(material, static_cast<int64_t>(mg_l * 20 * kMilligram + 0.5));
  }
};

TEST_F(LiftedTest, FreeSulfurDioxideByALaterReading) {
  Jurisdictions({"CA"});
  On(2);
  FreeSo2(70);
  EXPECT_EQ(Of("so2-free-past-limit").rule_id, "") << "70 is the ceiling";
  On(3);
  const auto read = FreeSo2(70.1);
  const Finding past = Of("so2-free-past-limit");
  EXPECT_EQ(past.limit_id, "ca-free-so2");
  EXPECT_EQ(past.severity, v1::SEVERITY_WARN);
  EXPECT_EQ(CauseOf(past), EntryId(read.entry));
  EXPECT_THAT(past.text, HasSubstr("70.1 mg/L of free sulfur dioxide, by its last reading"));
  On(20);
  FreeSo2(60);
  EXPECT_EQ(Of("so2-free-past-limit").rule_id, "");
}

TEST_F(LiftedTest, OtherAdditionsByABlend) {
  Jurisdictions({"EU"});
  const struct {
    const char* material;
    double mg_l;
    const char* limit;
  } kCases[] = {{"lysozyme", 500, "eu-lysozyme"},
                {"dmdc", 200, "eu-dmdc"},
                {"ascorbic acid", 250, "eu-ascorbic-acid"},
                {"citric acid", 1000, "eu-citric-acid"}};
  for (const auto& one : kCases) {
    AddMgL(one.material, one.mg_l);
    EXPECT_EQ(Of("addition-past-limit").rule_id, "") << one.material << " at its ceiling";
  }
  for (const auto& one : kCases) {
    const auto more = AddMgL(one.material, 1);
    const auto findings = Findings();
    EXPECT_THAT(findings, Contains(::testing::AllOf(
                              ::testing::Field(&Finding::rule_id, "addition-past-limit"),
                              ::testing::Field(&Finding::limit_id, HasSubstr(one.limit)))))
        << one.material;
    EXPECT_EQ(CauseOf(Of("addition-past-limit")), EntryId(more.entry));
    Do(phone_.Void(more.entry));
    EXPECT_EQ(Of("addition-past-limit").rule_id, "") << one.material;
  }
  AddMgL("lysozyme", 400);
  EXPECT_EQ(Of("addition-past-limit").limit_id, "eu-lysozyme");
  BlendWithAnother();
  EXPECT_EQ(Of("addition-past-limit", "C3").rule_id, "");
}

TEST_F(LiftedTest, SulfiteAndSorbateByABlend) {
  Jurisdictions({"EU"});
  Colour("Riesling", "white");
  Colour("Elder", "white");
  Add("potassium metabisulfite", 10 * kGram);  // 288 mg/L
  Add("potassium sorbate", 6 * kGram);         // 224 mg/L of the acid
  EXPECT_NE(Of("so2-past-limit").rule_id, "");
  EXPECT_NE(Of("sorbate-past-limit").rule_id, "");
  BlendWithAnother();
  EXPECT_EQ(Of("so2-past-limit", "C3").rule_id, "");
  EXPECT_EQ(Of("sorbate-past-limit", "C3").rule_id, "");
}

TEST_F(LiftedTest, CopperAndFiningsByABlend) {
  Jurisdictions({"EU"});
  AddMgL("copper sulfate", 10);
  AddMgL("activated carbon", 1000);
  EXPECT_EQ(Of("copper-past-limit").rule_id, "");
  EXPECT_EQ(Of("fining-past-limit").rule_id, "");
  AddMgL("copper sulfate", 0.1);
  AddMgL("activated carbon", 1);
  EXPECT_EQ(Of("copper-past-limit").limit_id, "eu-copper-sulfate");
  EXPECT_EQ(Of("fining-past-limit").limit_id, "eu-carbon-white");
  BlendWithAnother();
  EXPECT_EQ(Of("copper-past-limit", "C3").rule_id, "");
  EXPECT_EQ(Of("fining-past-limit", "C3").rule_id, "");
}

TEST_F(LiftedTest, FoodForYeastByAnAmendment) {
  Jurisdictions({"EU"});
  const auto slip = AddMgL("diammonium phosphate", 1001);
  EXPECT_EQ(Of("nutrient-past-limit").limit_id, "eu-ammonium-salts");
  phone_.Amending(slip.entry);
  AddMgL("diammonium phosphate", 1000);
  EXPECT_EQ(Of("nutrient-past-limit").rule_id, "");
}

TEST_F(LiftedTest, VolatileAcidityByABlendAndAReading) {
  Jurisdictions({"US"});
  Colour("Riesling", "white");
  const auto acidity = [this](double g_l, absl::string_view vessel) {
    Read(rundlet::v1::READING_KIND_VOLATILE_ACIDITY, rundlet::v1::READING_UNIT_G_PER_L_ACETIC, g_l,
         vessel);
  };
  acidity(1.2, "C1");
  EXPECT_EQ(Of("volatile-acidity-past-limit").rule_id, "") << "1.2 g/L is the ceiling";
  acidity(1.3, "C1");
  EXPECT_NE(Of("volatile-acidity-past-limit").rule_id, "");
  BlendWithAnother();
  acidity(0.8, "C3");
  EXPECT_EQ(Of("volatile-acidity-past-limit", "C3").rule_id, "");
}

TEST_F(LiftedTest, MolecularSulfurDioxideByTimeAndAReading) {
  Read(rundlet::v1::READING_KIND_PH, rundlet::v1::READING_UNIT_PH, 3.2);
  On(2);
  FreeSo2(60);
  EXPECT_THAT(Broken(), Contains("warn so2-molecular-high"));
  On(30);
  FreeSo2(25);
  EXPECT_THAT(Broken(), Not(Contains("warn so2-molecular-high")));
  EXPECT_THAT(Broken(), Not(Contains("warn so2-molecular-low")));
}

TEST_F(LiftedTest, SorbateWithSulfiteInOneEntry) {
  On(40);
  Add("potassium sorbate", kGram);
  EXPECT_THAT(Broken(), Contains("warn sorbate-without-sulfite"));
  On(41);
  phone_.Amending(written_.back().entry);
  Do(phone_.Add("C1", {testing::OfMaterial("potassium sorbate", testing::Mass(kGram)),
                       testing::OfMaterial("potassium metabisulfite", testing::Mass(kGram))}));
  EXPECT_THAT(Broken(), Not(Contains("warn sorbate-without-sulfite")));
}

TEST_F(LiftedTest, TheTrueCapacityOfAVessel) {
  Do(phone_.RegisterVessel("Small", 19 * kLitre));
  On(5);
  Do(phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("Small")}));
  EXPECT_NE(Of("vessel-over-capacity", "Small").rule_id, "");
  rundlet::v1::Entry draft;
  draft.mutable_changed()->set_thing_id(testing::IdOf("Small").ToBytes());
  draft.mutable_changed()->mutable_vessel()->set_capacity_ul(20 * kLitre);
  Do(phone_.Write(draft));
  EXPECT_EQ(Of("vessel-over-capacity", "Small").rule_id, "");
}

TEST_F(LiftedTest, AirByARackingIntoAVesselThatItFills) {
  Do(phone_.RegisterVessel("Big", 30 * kLitre));
  Do(phone_.RegisterVessel("Full", 20 * kLitre));
  On(20);
  Density(0.996);
  On(21);
  Do(phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("Big")}));
  EXPECT_THAT(Broken("Big"), Contains("warn vessel-headspace"));
  On(40);
  Do(phone_.Rack({testing::DrawAll("Big")}, {testing::FillRest("Full")}));
  EXPECT_THAT(Broken("Full"), Not(Contains("warn vessel-headspace")));
}

TEST_F(LiftedTest, AStuckFermentationByReachingTheEnd) {
  for (const auto& [day, gravity] : {std::pair(1.0, 1.090), {10.0, 1.002}, {14.0, 1.0015}}) {
    On(day);
    Density(gravity);
  }
  EXPECT_THAT(Broken(), Contains("warn fermentation-stuck"));
  On(15);
  Density(1.000);
  EXPECT_THAT(Broken(), Not(Contains("warn fermentation-stuck"))) << "at or under 1.000";
}

TEST_F(LiftedTest, BentoniteByRestOrByALook) {
  On(86.1);
  const auto fining = Add("bentonite", 10 * kGram);
  On(100);
  Bottle();
  EXPECT_THAT(Of("bottling-bentonite-settles", "Spring run").text,
              HasSubstr("less than two weeks before; and nobody saw it clear since"));
  On(86);
  Do(phone_.Observe("C1", "bright"));
  EXPECT_THAT(Broken("Spring run"), Contains("note bottling-bentonite-settles"))
      << "that was before the bentonite";
  On(95);
  const auto look = Do(phone_.Observe("C1", "bright"));
  EXPECT_THAT(Broken("Spring run"), Not(Contains("note bottling-bentonite-settles")));
  Do(phone_.Void(look.entry));
  EXPECT_THAT(Broken("Spring run"), Contains("note bottling-bentonite-settles"));
  phone_.Amending(fining.entry);
  On(86);
  Add("bentonite", 10 * kGram);
  EXPECT_THAT(Broken("Spring run"), Not(Contains("note bottling-bentonite-settles")))
      << "fourteen days";
}

}  // namespace
}  // namespace rundlet::rules
