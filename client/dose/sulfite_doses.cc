// Sulfite and sorbate.
#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/dose/ceilings.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/answers/sorbate_answer.h"
#include "core/oenology/answers/sulfite_dose_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

// Whether a name or kind has that word in it, however it is written.
bool Speaks(const std::string& text, absl::string_view of) {
  return absl::StrContains(absl::AsciiStrToLower(text), of);
}

double So2Part(const v1::Material& material) { return material.so2_ppm() * 1e-6; }

double SorbicPart(const v1::Material& material) {
  return Speaks(material.kind(), "sorbate") || Speaks(material.name(), "sorbate")
             ? oenology::kSorbicAcidOfSorbate
             : 0;
}

// What is at hand, and in what form it was said to be.
oenology::SulfiteMaterial MaterialOf(const DoseCase& dose) {
  oenology::SulfiteMaterial material;
  const v1::Material* known = dose.material;
  const bool sodium =
      dose.values.Word("salt") == "sodium" || (known != nullptr && Speaks(known->name(), "sodium"));
  if (sodium) material.salt = oenology::SulfiteSalt::kSodiumMetabisulfite;
  if (known != nullptr && known->so2_ppm() > 0) material.yield = So2Part(*known);
  if (const auto percent = dose.values.Find("yield")) material.yield = *percent / 100;
  if (const auto percent = dose.values.Find("solution")) {
    material.form = oenology::SulfiteForm::kSolution;
    material.solution_pct_wv = *percent;
  } else if (const auto mass_g = dose.values.Find("tablet")) {
    material.form = oenology::SulfiteForm::kTablets;
    material.tablet_mass_g = *mass_g;
  }
  return material;
}

oenology::SulfiteWine WineOf(const Values& values) {
  return {.ph = values["ph"],
          .temperature_c = values.Find("temperature"),
          .alcohol_pct = values.Find("alcohol"),
          .pk = values.Find("pk")};
}

// The total as measured, else as the book has it, if that can be all of it.
std::optional<double> TotalSoFar(const DoseCase& dose) {
  if (const auto measured = dose.values.Find("total")) return measured;
  const auto total = dose.wine.TotalSo2();
  if (!total.has_value() || total->mg_l < dose.values["free"]) return std::nullopt;
  if (total->at_least) {
    dose.notes->emplace_back(
        "total SO2 is at least that: it is what was added by the book, and yeast makes some too; "
        "measure it before you trust the room");
  } else {
    dose.notes->emplace_back("total SO2 is the latest reading and what was added since");
  }
  return total->mg_l;
}

// A yield that nobody has said is not taken for that of the pure salt.
absl::Status CheckYieldIsKnown(const DoseCase& dose) {
  const v1::Material* material = dose.material;
  const Values& values = dose.values;
  if (material == nullptr || material->so2_ppm() > 0 || values.Has("yield") ||
      values.Has("solution") || values.Has("tablet"))
    return absl::OkStatus();
  return absl::FailedPreconditionError(absl::StrCat(
      "nobody has said how much SO2 ", material->name(), " yields: rundlet material change '",
      material->name(),
      "' --so2 57.6% for the pure potassium salt by weight; or say --tablet 0.44g, --solution 10%, "
      "or --yield"));
}

absl::StatusOr<Answer> Sulfite(const DoseCase& dose) {
  const Values& values = dose.values;
  if (absl::Status status = CheckYieldIsKnown(dose); !status.ok()) return status;
  oenology::SulfiteDoseAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.free_mg_l = values["free"];
  asked.total_mg_l = TotalSoFar(dose);
  asked.material = MaterialOf(dose);
  asked.free_share = values.Or("free-share", asked.free_share * 100) / 100;
  asked.ceilings =
      CeilingsFor(dose, {.substance = rules::v1::SUBSTANCE_TOTAL_SO2, .in_the_wine = true});
  if (const auto target = values.Find("to-free")) {
    asked.target_free_mg_l = target;
  } else {
    asked.target_molecular_mg_l = values.Or("to-molecular", 0.6);
  }
  if (values.Has("ph")) {
    asked.wine = WineOf(values);
  } else if (asked.target_molecular_mg_l.has_value()) {
    return absl::FailedPreconditionError(
        absl::StrCat("a molecular target needs the pH as it is now: measure it: rundlet read ",
                     dose.wine.vessel(), " ph=3.40; or say it with --ph, or aim with --to-free"));
  }
  return oenology::AnswerSulfiteDose(asked);
}

// What was given must be measured as its form is.
absl::Status CheckAmountFits(const Values& values) {
  const bool solution = values.Has("solution");
  const bool tablets = values.Has("tablet");
  const std::string measure = values.Word("amount");  // empty: a bare number
  const absl::string_view wanted = solution ? "volume" : tablets ? "count" : "mass";
  if (measure.empty() || measure == wanted) return absl::OkStatus();
  return absl::InvalidArgumentError(
      measure == "volume"  ? "--amount is a volume: say --solution 10%, of how many g in 100 mL"
      : measure == "count" ? "--amount is in tablets: say --tablet 0.44g, what one weighs"
                           : "--amount is a weight: leave --solution and --tablet out");
}

absl::StatusOr<Answer> SulfiteGiven(const DoseCase& dose) {
  const Values& values = dose.values;
  if (absl::Status status = CheckAmountFits(values); !status.ok()) return status;
  if (absl::Status status = CheckYieldIsKnown(dose); !status.ok()) return status;
  oenology::SulfiteGivenAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.amount = values["amount"];
  asked.free_mg_l = values["free"];
  asked.total_mg_l = values.Find("total");
  asked.months = values["months"];
  asked.loss_mg_l_month = values["loss"];
  asked.material = MaterialOf(dose);
  asked.free_share = values.Or("free-share", asked.free_share * 100) / 100;
  asked.ceilings =
      CeilingsFor(dose, {.substance = rules::v1::SUBSTANCE_TOTAL_SO2, .in_the_wine = true});
  if (values.Has("ph")) asked.wine = WineOf(values);
  return oenology::AnswerSulfiteGiven(asked);
}

absl::StatusOr<Answer> Sorbate(const DoseCase& dose) {
  return oenology::AnswerSorbate(
      {.volume_l = dose.wine.volume_l(),
       .alcohol_pct = dose.values["alcohol"],
       .ph = dose.values["ph"],
       .sorbic_mg_l = dose.wine.AddedMgL(SorbicPart),
       .free_mg_l = dose.values.Find("free"),
       .ceilings = CeilingsFor(
           dose, {.substance = rules::v1::SUBSTANCE_SORBIC_ACID, .in_the_wine = true})});
}

Need NeedTotalSo2() {
  return {"total",
          v1::READING_KIND_TOTAL_SO2,
          InputKind::kMgPerL,
          "total SO2; the sum of what was added if not known",
          "tso2=80mg/L",
          false};
}

}  // namespace

std::vector<DoseSubject> SulfiteDoses() {
  const std::vector<Input> forms = {
      {"--salt", InputKind::kWord, "potassium or sodium", false, {"potassium", "sodium"}},
      {"--yield", InputKind::kPercent, "SO2 of the salt's mass; old powder has less"},
      {"--solution", InputKind::kPercent, "a solution of so many g in 100 mL"},
      {"--tablet", InputKind::kMassG, "tablets of so much salt each: 0.44g"},
      {"--free-share", InputKind::kPercent, "of an addition that stays free; 60% if not said"},
      {"--pk", InputKind::kNumber, "a constant of your own, such as 1.81"}};
  std::vector<Input> aims = {
      {"--to-molecular", InputKind::kMgPerL, "molecular SO2 to reach; 0.6 if nothing is said"},
      {"--to-free", InputKind::kMgPerL, "free SO2 to reach"}};
  aims.insert(aims.end(), forms.begin(), forms.end());
  std::vector<Input> given = {
      {"--amount", InputKind::kDose, "given: 2g of powder, 17mL of solution, 3 tablets", true},
      {"--months", InputKind::kNumber, "since then"},
      {"--loss", InputKind::kMgPerL, "of free SO2 a month"}};
  given.insert(given.end(), forms.begin(), forms.end());
  return {{"sulfite",
           "sulfite to a molecular or a free SO2",
           {NeedFreeSo2(), NeedPh(false), NeedTotalSo2(), NeedAlcohol(false), NeedTemperature()},
           aims,
           "sulfite",
           "potassium metabisulfite",
           Sulfite},
          {"sulfite-given",
           "what a dose of sulfite already given will have done",
           {NeedFreeSo2(), NeedPh(false), NeedTotalSo2(), NeedAlcohol(false), NeedTemperature()},
           given,
           "sulfite",
           "",
           SulfiteGiven},
          {"sorbate",
           "potassium sorbate for a clear wine with sugar",
           {NeedAlcohol(), NeedPh(), NeedFreeSo2(false)},
           {},
           "sorbate",
           "potassium sorbate",
           Sorbate}};
}

}  // namespace rundlet::client
