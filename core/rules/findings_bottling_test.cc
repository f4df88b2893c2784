// Goal: wine that may ferment on in the bottle is stopped, each way of being sure of it lifts that,
// and what else should be true before bottling is told. Method: 20 L of an invented wine, bottled
// on day 100 after what the test says.
#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using ::testing::Not;

class BottlingRulesTest : public FindingsTest {
 protected:
  // Whether the rule is broken by a bottling on day 100.
  std::set<std::string> AfterBottling() {
    On(100);
    bottled_ = Bottle();
    return Broken("Spring run");
  }
  WrittenEntry Sugar(double g_l) {
    return Read(rundlet::v1::READING_KIND_RESIDUAL_SUGAR, rundlet::v1::READING_UNIT_G_PER_L, g_l);
  }
  WrittenEntry bottled_;
};

constexpr char kStop[] = "stop bottling-not-stable";

TEST_F(BottlingRulesTest, NothingWasRead) {
  EXPECT_THAT(AfterBottling(), Contains(kStop));
  const Finding stop = Of("bottling-not-stable", "Spring run");
  EXPECT_EQ(CauseOf(stop), EntryId(bottled_.entry));
  EXPECT_THAT(stop.text, HasSubstr("BURST"));
  EXPECT_THAT(stop.text, HasSubstr("not filtered"));
}

TEST_F(BottlingRulesTest, DryOnTwoDaysIsStable) {
  On(98);
  Density(0.998);
  On(99);
  Density(0.996);
  EXPECT_THAT(AfterBottling(), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, OneReadingOrOneDayIsNotEnough) {
  On(99);
  Density(0.996);
  Density(0.996);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
  On(98);
  Density(0.996);
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop))) << "found in the notes afterwards";
}

TEST_F(BottlingRulesTest, DryButMovingIsNotStable) {
  On(98);
  Density(0.998);
  On(99);
  Density(0.9955);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
}

TEST_F(BottlingRulesTest, JustNotDry) {
  On(98);
  Density(0.9981);
  On(99);
  Density(0.9981);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
}

TEST_F(BottlingRulesTest, OtherUnitsCount) {
  for (const double day : {97.0, 99.0}) {
    On(day);
    Read(rundlet::v1::READING_KIND_DENSITY, rundlet::v1::READING_UNIT_BRIX, -1.0);
  }
  EXPECT_THAT(AfterBottling(), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, ReadingsFromLongAgoDoNotCount) {
  On(10);
  Density(0.996);
  On(39.9);
  Density(0.996);
  EXPECT_THAT(AfterBottling(), Contains(kStop)) << "more than 60 days before";
  On(40.1);
  Density(0.996);
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, SugarAfterTheReadingsUndoesThem) {
  On(97);
  Density(0.996);
  On(98);
  Density(0.996);
  On(99);
  const auto sugar = Add("sugar", 200 * kGram);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
  Do(phone_.Void(sugar.entry));
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, ToppingKeepsTheReadingsAndABlendDoesNot) {
  On(90);
  Do(phone_.Receive("Elder", {testing::Fill("C2", 10 * kLitre)}));
  On(97);
  Density(0.996);
  On(98);
  Density(0.996);
  On(99);
  Do(phone_.Top(testing::Draw("C2", kLitre / 2), {testing::Fill("C1", kLitre / 2)}));
  On(99.5);
  Do(phone_.Withdraw(testing::Draw("C1", kLitre / 2), rundlet::v1::ACCOUNT_SAMPLE));
  EXPECT_THAT(AfterBottling(), Not(Contains(kStop))) << "half a litre in twenty";
  On(99.2);
  Do(phone_.Top(testing::Draw("C2", 2 * kLitre), {testing::Fill("C1", 2 * kLitre)}));
  EXPECT_THAT(Broken("Spring run"), Contains(kStop)) << "two litres may be sweet";
}

TEST_F(BottlingRulesTest, LittleSugarOnTwoDays) {
  On(97);
  Sugar(2);
  On(99);
  const auto second = Sugar(2.1);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
  phone_.Amending(second.entry);
  On(99);
  Sugar(2);
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, SorbateNeedsSulfiteBesideIt) {
  On(90);
  Density(1.010);
  Add("potassium sorbate", 4 * kGram);
  EXPECT_THAT(AfterBottling(), Contains(kStop));
  On(89);
  Add("potassium metabisulfite", kGram);
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, FilteredWineIsSure) {
  On(90);
  Density(1.010);
  On(99);
  Do(phone_.Treat("C1", rundlet::v1::TREATMENT_KIND_FILTERING));
  EXPECT_THAT(AfterBottling(), Not(Contains(kStop)));
  On(99.5);
  Do(phone_.Receive("Riesling", {testing::Fill("C1", kLitre / 10)}));
  EXPECT_THAT(Broken("Spring run"), Contains(kStop)) << "juice was poured in afterwards";
}

TEST_F(BottlingRulesTest, AReasonIsKeptBesideTheFinding) {
  On(100);
  rundlet::v1::Entry draft = testing::draft::Bottled("Spring run", {testing::DrawAll("C1")},
                                                     {testing::Group("Rack A", 26)},
                                                     {testing::OutRest(rundlet::v1::ACCOUNT_LOSS)});
  draft.mutable_anyway()->add_rule_ids("bottling-not-stable");
  draft.mutable_anyway()->set_reason("for the fridge, drunk tonight");
  Do(phone_.Write(draft));
  EXPECT_EQ(Of("bottling-not-stable", "Spring run").anyway, "for the fridge, drunk tonight");
  EXPECT_EQ(Of("bottling-free-so2", "Spring run").anyway, "") << "another rule";
}

TEST_F(BottlingRulesTest, FreeSo2InItsRange) {
  On(69.9);
  FreeSo2(30);
  EXPECT_THAT(AfterBottling(), Contains("warn bottling-free-so2")) << "older than 30 days";
  On(70.1);
  const auto read = FreeSo2(10);
  EXPECT_THAT(Broken("Spring run"), Not(Contains("warn bottling-free-so2")));
  On(71);
  FreeSo2(9.9);
  EXPECT_THAT(Broken("Spring run"), Contains("warn bottling-free-so2"));
  On(72);
  FreeSo2(61);
  EXPECT_THAT(Broken("Spring run"), Contains("warn bottling-free-so2"));
}

TEST_F(BottlingRulesTest, AFiningSettlesFirst) {
  On(95.1);
  const auto fining = Add("bentonite", 10 * kGram);
  EXPECT_THAT(AfterBottling(), Contains("warn bottling-fining-settles"));
  phone_.Amending(fining.entry);
  On(95);
  Add("bentonite", 10 * kGram);
  EXPECT_THAT(Broken("Spring run"), Not(Contains("warn bottling-fining-settles")));
}

TEST_F(BottlingRulesTest, SomebodySawThatItIsClear) {
  EXPECT_THAT(AfterBottling(), Contains("note bottling-clear"));
  On(98);
  Do(phone_.Observe("C1", "Bright"));
  EXPECT_THAT(Broken("Spring run"), Not(Contains("note bottling-clear")));
  On(99);
  Do(phone_.Observe("C1", "slightly Hazy"));
  EXPECT_THAT(Broken("Spring run"), Contains("note bottling-clear"));
}

TEST_F(BottlingRulesTest, TheHistoryFollowsTheWineFromVesselToVessel) {
  On(80);
  Density(0.996);
  On(85);
  Do(phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("C2")}));
  On(90);
  Density(0.996, "C2");
  On(100);
  Do(phone_.Bottle("Spring run", {testing::DrawAll("C2")}, {testing::Group("Rack A", 26)},
                   {testing::OutRest(rundlet::v1::ACCOUNT_LOSS)}));
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

TEST_F(BottlingRulesTest, EachVesselOfABottlingIsAskedFor) {
  On(80);
  Do(phone_.Receive("Elder", {testing::Fill("C2", 10 * kLitre)}));
  for (const double day : {90.0, 95.0}) {
    On(day);
    Density(0.996, "C1");
  }
  On(100);
  Do(phone_.Bottle("Spring run", {testing::DrawAll("C1"), testing::DrawAll("C2")},
                   {testing::Group("Rack A", 40)}));
  EXPECT_THAT(Broken("Spring run"), Contains(kStop)) << "nobody read C2";
  for (const double day : {90.0, 95.0}) {
    On(day);
    Density(0.996, "C2");
  }
  EXPECT_THAT(Broken("Spring run"), Not(Contains(kStop)));
}

}  // namespace
}  // namespace rundlet::rules
