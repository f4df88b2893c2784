// Goal: findings are the same in any order of arrival, those of a lot are those of all that holds
// it, rules of the house count, and ten thousand lots are checked within a second. Method:
// generated cellars (the seed is in the message); a cellar of ten thousand invented lots, timed.
#include <algorithm>
#include <iterator>
#include <random>
#include <set>

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

// What a cellar that cares writes beside the rest: another device tells, of the vessels and lots of
// a cellar, what rules of care and of classes ask for.
void AddCare(std::vector<WrittenEntry>& cellar, std::mt19937_64& random) {
  testing::TestDevice device("careful");
  std::vector<WrittenEntry> more;
  const auto write = [&](int64_t at_us, rundlet::v1::Entry draft) {
    device.At(at_us);
    more.push_back(device.Write(std::move(draft)));
  };
  const int64_t begin_us = cellar.front().entry.effective_at_us();
  write(begin_us, testing::draft::EquipmentRegistered("hydrometer"));
  rundlet::v1::Entry law;
  law.mutable_settings_changed()->mutable_jurisdictions()->add_codes("EU");
  write(begin_us, law);
  for (const WrittenEntry& written : cellar) {
    const rundlet::v1::Entry& entry = written.entry;
    const int64_t at_us = entry.effective_at_us();
    if (entry.registered().has_lot()) {
      rundlet::v1::Entry draft;
      draft.mutable_changed()->set_thing_id(entry.registered().thing_id());
      rundlet::v1::Lot& lot = *draft.mutable_changed()->mutable_lot();
      lot.set_organic(random() % 2 == 0);
      lot.set_made_for(random() % 2 == 0 ? "home" : "sale");
      write(at_us, draft);
    } else if (entry.registered().has_material()) {
      rundlet::v1::Entry draft;
      draft.mutable_changed()->set_thing_id(entry.registered().thing_id());
      rundlet::v1::Material& material = *draft.mutable_changed()->mutable_material();
      constexpr const char* kNames[] = {"campden tablets", "sugar",   "bentonite",
                                        "white yeast",     "sorbate", "water"};
      material.set_name(kNames[random() % std::size(kNames)]);
      material.set_coldest_millic(18'000);
      write(at_us, draft);
    } else if (entry.has_addition() && random() % 2 == 0) {
      rundlet::v1::Entry draft;
      rundlet::v1::Addition& addition = *draft.mutable_addition();
      addition.set_vessel_id(entry.addition().vessel_id());
      *addition.add_lines() = entry.addition().lines(0);
      addition.mutable_lines(0)->set_mixed_at_millic(static_cast<int32_t>(random() % 90'000));
      write(at_us + testing::kMinuteUs, draft);
    } else if (entry.has_reading()) {
      rundlet::v1::Entry draft;
      *draft.mutable_reading() = entry.reading();
      draft.mutable_reading()->set_equipment_id(testing::IdOf("hydrometer").ToBytes());
      write(at_us + testing::kMinuteUs, draft);
      if (random() % 20 != 0) continue;
      rundlet::v1::Entry check;
      check.mutable_calibrated()->set_equipment_id(testing::IdOf("hydrometer").ToBytes());
      check.mutable_calibrated()->set_against("water");
      check.mutable_calibrated()->set_unit(rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY);
      check.mutable_calibrated()->set_due_on("2024-01-03");
      write(at_us + 2 * testing::kMinuteUs, check);
    } else if (entry.has_treatment() || entry.has_withdrawal()) {
      rundlet::v1::Entry draft;
      draft.mutable_sanitised()->add_subject_ids(entry.has_treatment()
                                                     ? entry.treatment().vessel_id()
                                                     : entry.withdrawal().draw().vessel_id());
      draft.mutable_sanitised()->set_agent("caustic soda");
      draft.mutable_sanitised()->set_rinse_needed(random() % 2 == 0);
      draft.mutable_sanitised()->set_temperature_millic(60'000);
      write(at_us + testing::kMinuteUs, draft);
    } else if (entry.registered().has_vessel()) {
      rundlet::v1::Entry draft;
      draft.mutable_changed()->set_thing_id(entry.registered().thing_id());
      draft.mutable_changed()->mutable_vessel()->set_made_of("glass");
      write(at_us, draft);
    }
  }
  cellar.insert(cellar.end(), more.begin(), more.end());
}

TEST(FindingsReachTest, AFewWinesAreFoundAsAllAre) {
  size_t found = 0;
  for (uint64_t seed = 1; seed <= 12; ++seed) {
    std::vector<WrittenEntry> cellar = testing::Generate(
        {.seed = seed,
         .profile = seed % 3 == 0 ? testing::Profile::kHostile : testing::Profile::kRealistic},
        400);
    std::mt19937_64 random(seed);
    AddCare(cellar, random);
    Fold fold;
    for (const WrittenEntry& written : cellar) fold.Insert(written.entry);
    fold.Settle();
    const int64_t now_us =
        fold.sequence().row(fold.sequence().at(fold.sequence().size() - 1)).effective_at_us +
        60 * testing::kDayUs;
    const Inspector all(fold, now_us);
    const Inspector few(fold, now_us, Reach::kFew);
    for (Handle thing = 0; thing < fold.interner().size(); ++thing) {
      const auto kind = fold.directory().kind(thing);
      if (kind != rundlet::v1::Thing::kVessel && kind != rundlet::v1::Thing::kBottling) continue;
      const auto expected = all.Of(thing);
      const auto told = few.Of(thing);
      found += told.size();
      ASSERT_EQ(told.size(), expected.size()) << "seed " << seed;
      for (size_t i = 0; i < told.size(); ++i) {
        EXPECT_EQ(told[i].text, expected[i].text) << "seed " << seed;
        EXPECT_EQ(told[i].entry, expected[i].entry) << told[i].text;
        EXPECT_EQ(told[i].severity, expected[i].severity) << told[i].text;
      }
    }
  }
  EXPECT_GT(found, 100u) << "cellars without findings show nothing";
}

TEST(FindingsOrderTest, AnyOrderOfArrivalGivesTheSame) {
  size_t found = 0;
  std::set<std::string> rules;
  for (uint64_t seed = 1; seed <= 12; ++seed) {
    std::vector<WrittenEntry> cellar = testing::Generate(
        {.seed = seed,
         .profile = seed % 3 == 0 ? testing::Profile::kHostile : testing::Profile::kRealistic},
        400);
    std::vector<std::string> first;
    Hash digest = {};
    std::mt19937_64 random(seed);
    AddCare(cellar, random);
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
      for (const Finding& finding : FindingsFor(fold, kNoHandle, now_us))
        rules.insert(finding.rule_id);
      EXPECT_THAT(told, ::testing::ElementsAreArray(first)) << "seed " << seed;
      std::shuffle(cellar.begin(), cellar.end(), random);
    }
  }
  EXPECT_GT(found, 100u) << "cellars without findings show nothing";
  for (const char* rule : {"vessel-hot-glass", "vessel-not-rinsed", "instrument-not-calibrated",
                           "must-water-past-limit", "must-enriched-past-limit",
                           "fining-bentonite-cold", "material-not-counted"})
    EXPECT_TRUE(rules.contains(rule)) << rule << " was never broken";
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
  for (const char* material : {"potassium metabisulfite", "bentonite", "egg white"}) {
    rundlet::v1::Entry draft = testing::draft::MaterialRegistered(material);
    if (material[0] == 'p') draft.mutable_registered()->mutable_material()->set_so2_ppm(576'300);
    fold.Insert(device.Write(draft).entry);
  }
  // Of half of the wines the sulfite is past the limits of some classes, and nobody has said which.
  rundlet::v1::Entry law;
  for (const char* code : {"EU", "OIV"})
    law.mutable_settings_changed()->mutable_jurisdictions()->add_codes(code);
  fold.Insert(device.Write(law).entry);
  constexpr int kLots = 10'000;
  for (int i = 0; i < kLots; ++i) {
    const std::string lot = absl::StrCat("lot ", i);
    const std::string vessel = absl::StrCat("vessel ", i);
    fold.Insert(device.RegisterLot(lot).entry);
    fold.Insert(device.RegisterVessel(vessel, 23 * kLitre).entry);
    fold.Insert(device.Receive(lot, {testing::Fill(vessel, 20 * kLitre)}).entry);
    for (const char* material : {"potassium metabisulfite", "bentonite", "egg white"}) {
      const int64_t grams = material[0] == 'p' && i % 4 < 2 ? 6 : 1;
      fold.Insert(
          device.Add(vessel, {testing::OfMaterial(material, testing::Mass(grams * kGram))}).entry);
    }
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
