#ifndef RUNDLET_CORE_RULES_FINDINGS_FIXTURE_H_
#define RUNDLET_CORE_RULES_FINDINGS_FIXTURE_H_

#include <set>
#include <string>
#include <vector>

#include "core/rules/findings.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::rules {

// What is found of one thing, or of all where it is kNoHandle.
inline std::vector<Finding> FindingsFor(const Fold& fold, Handle thing, int64_t now_us) {
  const auto kind = fold.directory().kind(thing);
  const bool one = kind == rundlet::v1::Thing::kVessel || kind == rundlet::v1::Thing::kBottling;
  const Inspector inspector(fold, now_us, one ? Reach::kFew : Reach::kAll);
  return thing == kNoHandle ? inspector.OfAll() : inspector.Of(thing);
}

// The invented circle's cellar with 20 L of juice in C1 and materials that rules speak of. Days
// count from the first; what is done without a day comes a minute after what was done before.
class FindingsTest : public testing::CellarTest {
 protected:
  FindingsTest() {
    Material("potassium metabisulfite", 576'300);
    for (const char* name : {"potassium sorbate", "bentonite", "silica sol", "chitosan", "gelatine",
                             "PVPP", "copper sulfate", "diammonium phosphate", "egg white", "sugar",
                             "malolactic culture", "white wine yeast", "shrimp chitosan"})
      Material(name);
    Do(phone_.Receive("Riesling", {testing::Fill("C1", 20 * testing::kLitre)}));
    now_us_ = DayUs(400);
  }

  static int64_t DayUs(double day) {
    return testing::kDawnUs + static_cast<int64_t>(day * static_cast<double>(testing::kDayUs));
  }
  // The next entry is of that day.
  FindingsTest& On(double day) {
    phone_.At(DayUs(day));
    return *this;
  }

  void Material(absl::string_view name, int64_t so2_ppm = 0) {
    rundlet::v1::Entry draft = testing::draft::MaterialRegistered(name);
    if (so2_ppm > 0) draft.mutable_registered()->mutable_material()->set_so2_ppm(so2_ppm);
    Do(phone_.Write(draft));
  }
  void Jurisdictions(const std::vector<std::string>& codes) {
    rundlet::v1::Entry draft;
    auto& list = *draft.mutable_settings_changed()->mutable_jurisdictions();
    for (const std::string& code : codes) list.add_codes(code);
    Do(phone_.Write(draft));
  }
  void Colour(absl::string_view lot, absl::string_view colour) {
    rundlet::v1::Entry draft;
    draft.mutable_changed()->set_thing_id(testing::IdOf(lot).ToBytes());
    draft.mutable_changed()->mutable_lot()->set_colour(std::string(colour));
    Do(phone_.Write(draft));
  }

  WrittenEntry Add(absl::string_view material, int64_t mass_ug, absl::string_view vessel = "C1") {
    return Do(phone_.Add(vessel, {testing::OfMaterial(material, testing::Mass(mass_ug))}));
  }
  WrittenEntry Read(rundlet::v1::ReadingKind kind, rundlet::v1::ReadingUnit unit, double value,
                    absl::string_view vessel = "C1") {
    return Do(phone_.Read(
        vessel, {testing::Measured(kind, unit, static_cast<int64_t>(value * 1e6 + 0.5))}));
  }
  WrittenEntry Density(double gravity, absl::string_view vessel = "C1") {
    return Read(rundlet::v1::READING_KIND_DENSITY, rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY,
                gravity, vessel);
  }
  WrittenEntry FreeSo2(double mg_l) {
    return Read(rundlet::v1::READING_KIND_FREE_SO2, rundlet::v1::READING_UNIT_MG_PER_L, mg_l);
  }
  WrittenEntry TotalSo2(double mg_l) {
    return Read(rundlet::v1::READING_KIND_TOTAL_SO2, rundlet::v1::READING_UNIT_MG_PER_L, mg_l);
  }
  WrittenEntry Degas() { return Do(phone_.Treat("C1", rundlet::v1::TREATMENT_KIND_DEGASSING)); }
  WrittenEntry Bottle() {
    return Do(phone_.Bottle("Spring run", {testing::DrawAll("C1")}, {testing::Group("Rack A", 26)},
                            {testing::OutRest(rundlet::v1::ACCOUNT_LOSS)}));
  }

  std::vector<Finding> Findings(absl::string_view thing = "C1") {
    return FindingsFor(fold_, testing::HandleOf(fold_, thing), now_us_);
  }
  // The rules that a thing breaks: "warn so2-past-limit".
  std::set<std::string> Broken(absl::string_view thing = "C1") {
    std::set<std::string> broken;
    for (const Finding& finding : Findings(thing))
      broken.insert(absl::StrCat(Name(finding.severity), " ", finding.rule_id));
    return broken;
  }
  // The finding of a rule; an empty one where there is none.
  Finding Of(absl::string_view rule_id, absl::string_view thing = "C1") {
    for (const Finding& finding : Findings(thing)) {
      if (finding.rule_id == rule_id) return finding;
    }
    return {};
  }
  // The entry that a finding names as its cause.
  Uuid CauseOf(const Finding& finding) { return fold_.sequence().row(finding.entry).id; }

  int64_t now_us_ = 0;
};

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_FINDINGS_FIXTURE_H_
