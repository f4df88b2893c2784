// Goal: findings are the same in any order of arrival, those of a lot are those of all that holds
// it, rules of the house count, and ten thousand lots are checked within a second. Method:
// generated cellars (the seed is in the message); a cellar of ten thousand invented lots, timed.
#include <algorithm>
#include <random>

#include "absl/time/clock.h"
#include "absl/time/time.h"
#include "core/rules/findings_fixture.h"
#include "tests/support/generator.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using testing::kGram;
using testing::kLitre;
using ::testing::Not;

// All that a finding says, in terms that do not depend on arrival.
std::vector<std::string> Told(const Fold& fold, int64_t now_us) {
  std::vector<std::string> told;
  for (const Finding& f : FindingsFor(fold, kNoHandle, now_us)) {
    told.push_back(absl::StrCat(fold.interner().id(f.thing).ToString(), " ", f.rule_id, " ",
                                f.limit_id, " ", Name(f.severity), " ",
                                fold.sequence().row(f.entry).id.ToString(), " ", f.text, " ",
                                f.anyway));
  }
  return told;
}

TEST(FindingsOrderTest, AnyOrderOfArrivalGivesTheSame) {
  size_t found = 0;
  for (uint64_t seed = 1; seed <= 12; ++seed) {
    std::vector<WrittenEntry> cellar = testing::Generate(
        {.seed = seed,
         .profile = seed % 3 == 0 ? testing::Profile::kHostile : testing::Profile::kRealistic},
        400);
    std::vector<std::string> first;
    Hash digest = {};
    std::mt19937_64 random(seed);
    int64_t now_us = 0;
    for (const WrittenEntry& written : cellar)
      now_us = std::max<int64_t>(now_us, written.entry.effective_at_us());
    now_us += 60 * testing::kDayUs;
    for (int round = 0; round < 3; ++round) {
      Fold fold;
      for (const WrittenEntry& written : cellar) fold.Add(written.entry);
      std::vector<std::string> told = Told(fold, now_us);
      found += told.size();
      if (round == 0) digest = fold.StateDigest();
      ASSERT_EQ(fold.StateDigest(), digest) << "seed " << seed;
      if (round == 0) first = told;
      EXPECT_THAT(told, ::testing::ElementsAreArray(first)) << "seed " << seed;
      std::shuffle(cellar.begin(), cellar.end(), random);
    }
  }
  EXPECT_GT(found, 100u) << "cellars without findings show nothing";
}

class CellarFindingsTest : public FindingsTest {
 protected:
  void HouseRule(absl::string_view id, absl::string_view text) {
    rundlet::v1::Entry draft;
    draft.mutable_house_rule_set()->set_rule_id(std::string(id));
    draft.mutable_house_rule_set()->set_text(std::string(text));
    Do(phone_.Write(draft));
  }
};

TEST_F(CellarFindingsTest, ThoseOfALotAreThoseOfAllThatHoldsIt) {
  Add("egg white", kGram);
  On(10);
  Do(phone_.Bottle("Spring run", {testing::Draw("C1", 9 * kLitre)},
                   {testing::Group("Rack A", 12)}));
  std::set<std::string> things;
  for (const Finding& finding : Findings("Riesling"))
    things.insert(fold_.directory().NameOf(finding.thing, fold_.sequence()));
  EXPECT_EQ(things, (std::set<std::string>{"C1", "Spring run"}));
  EXPECT_TRUE(Findings("Elder").empty());
}

TEST_F(CellarFindingsTest, RunsThatAreDrunkAreLeftOutUnlessAskedFor) {
  On(10);
  Do(phone_.Bottle("Spring run", {testing::DrawAll("C1")}, {testing::Group("Rack A", 26)},
                   {testing::OutRest(rundlet::v1::ACCOUNT_LOSS)}));
  EXPECT_FALSE(Inspector(fold_, now_us_).OfAll().empty());
  Do(phone_.TakeBottles(testing::BottlesOf("Spring run", 26), "Rack A"));
  EXPECT_TRUE(Inspector(fold_, now_us_).OfAll().empty());
  EXPECT_FALSE(Inspector(fold_, now_us_).OfAll(true).empty());
}

TEST_F(CellarFindingsTest, TheGravestComesFirst) {
  Add("egg white", kGram);
  Add("potassium sorbate", kGram);
  Add("malolactic culture", kGram);
  const std::vector<Finding> findings = Findings();
  ASSERT_GE(findings.size(), 3u);
  EXPECT_EQ(findings.front().rule_id, "sorbate-with-malolactic");
  EXPECT_EQ(findings.back().severity, v1::SEVERITY_NOTE);
}

TEST_F(CellarFindingsTest, ARuleOfTheHouseCountsUntilItIsTakenBack) {
  Add("bentonite", kGram);
  HouseRule("no-bentonite", R"(
      severity: SEVERITY_NOTE
      text: "{thing}: {what} is not used here"
      reason: "The circle agreed to let its wines clear by themselves."
      lifted_by: "nothing"
      presence { groups: "bentonite" })");
  EXPECT_THAT(Of("no-bentonite").text, HasSubstr("C1: bentonite is not used here"));
  EXPECT_EQ(Of("no-bentonite").source, "a rule of this cellar");
  HouseRule("no-bentonite", "");
  EXPECT_EQ(Of("no-bentonite").rule_id, "");
}

TEST_F(CellarFindingsTest, ARuleOfTheProgramCanBeLetGo) {
  Add("egg white", kGram);
  EXPECT_THAT(Broken(), Contains("note fining-allergen"));
  HouseRule("fining-allergen", "");
  EXPECT_THAT(Broken(), Not(Contains("note fining-allergen")));
}

TEST_F(CellarFindingsTest, ARuleThatCannotBeReadIsNamedAndDoesNotCount) {
  HouseRule("bad", "severity: SEVERITY_LOUD");
  const RuleBook book = RulesOf(fold_);
  ASSERT_EQ(book.faults.size(), 1u);
  EXPECT_THAT(book.faults[0], HasSubstr("bad:1:24"));
  EXPECT_EQ(book.rules.size(), BuiltInRules().rules.size());
}

TEST(FindingsSpeedTest, TenThousandLots) {
  testing::TestDevice device("bench");
  Fold fold;
  fold.Insert(device.RegisterBin("Rack").entry);
  for (const char* material : {"potassium metabisulfite", "bentonite", "egg white"})
    fold.Insert(device.RegisterMaterial(material).entry);
  constexpr int kLots = 10'000;
  for (int i = 0; i < kLots; ++i) {
    const std::string lot = absl::StrCat("lot ", i);
    const std::string vessel = absl::StrCat("vessel ", i);
    fold.Insert(device.RegisterLot(lot).entry);
    fold.Insert(device.RegisterVessel(vessel, 23 * kLitre).entry);
    fold.Insert(device.Receive(lot, {testing::Fill(vessel, 20 * kLitre)}).entry);
    for (const char* material : {"potassium metabisulfite", "bentonite", "egg white"})
      fold.Insert(device.Add(vessel, {testing::OfMaterial(material, testing::Mass(kGram))}).entry);
    for (int reading = 0; reading < 20; ++reading) {
      fold.Insert(device
                      .Read(vessel, {testing::Measured(rundlet::v1::READING_KIND_DENSITY,
                                                       rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY,
                                                       1'090'000 - 4'500 * reading)})
                      .entry);
    }
    if (i % 2 == 0) continue;
    const std::string run = absl::StrCat("run ", i);
    fold.Insert(device.RegisterBottling(run, lot).entry);
    fold.Insert(device
                    .Bottle(run, {testing::DrawAll(vessel)}, {testing::Group("Rack", 26)},
                            {testing::OutRest(rundlet::v1::ACCOUNT_LOSS)})
                    .entry);
  }
  fold.Settle();
  const int64_t now_us = device.clock_us() + 60 * testing::kDayUs;
  absl::Duration best = absl::InfiniteDuration();
  size_t found = 0;
  for (int round = 0; round < 3; ++round) {
    const absl::Time start = absl::Now();
    found = FindingsFor(fold, kNoHandle, now_us).size();
    best = std::min(best, absl::Now() - start);
  }
  RecordProperty("milliseconds", absl::StrCat(absl::ToInt64Milliseconds(best)));
  std::printf("%d lots, %zu entries, %zu findings: %s\n", kLots, fold.sequence().size(), found,
              absl::FormatDuration(best).c_str());
  EXPECT_GT(found, static_cast<size_t>(kLots));
#ifdef NDEBUG
  EXPECT_LT(best, absl::Seconds(1));
#endif
}

}  // namespace
}  // namespace rundlet::rules
