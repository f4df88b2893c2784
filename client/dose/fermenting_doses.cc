// Yeast and what it wants.
#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/dose/ceilings.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/answers/yeast_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

absl::StatusOr<std::optional<double>> BrixIfKnown(const Values& values) {
  const auto gravity = values.Find("density");
  if (!gravity.has_value()) return std::optional<double>();
  const auto brix = BrixOf(*gravity);
  if (!brix.ok()) return brix.status();
  return std::optional<double>(*brix);
}

absl::StatusOr<Answer> Yeast(const DoseCase& dose) {
  const auto brix = BrixIfKnown(dose.values);
  if (!brix.ok()) return brix.status();
  return oenology::AnswerYeast(dose.wine.volume_l(), dose.values.Find("rate"), *brix);
}

absl::StatusOr<Answer> Nutrient(const DoseCase& dose) {
  const Values& values = dose.values;
  oenology::NutrientAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.yan_mg_l = values["yan"];
  asked.target_yan_mg_l = values.Find("to");
  const auto brix = BrixIfKnown(values);
  if (!brix.ok()) return brix.status();
  asked.brix = *brix;
  if (!asked.brix.has_value() && !asked.target_yan_mg_l.has_value()) {
    Values measured;
    std::vector<std::string> origins, gaps;
    if (absl::Status status = dose.wine.Fill(NeedGravity(), measured, origins, gaps); !status.ok())
      return status;
  }
  if (dose.material != nullptr) asked.nutrient = dose.material->name();
  const bool is_dap =
      dose.material == nullptr ||
      absl::StrContains(absl::AsciiStrToLower(dose.material->name()), "phosphate") ||
      absl::EqualsIgnoreCase(dose.material->name(), "DAP");
  if (!is_dap && !values.Has("nitrogen")) {
    return absl::FailedPreconditionError(
        absl::StrCat("how much nitrogen ", dose.material->name(),
                     " holds stands on its label: say it with --nitrogen 10%"));
  }
  if (const auto percent = values.Find("nitrogen")) asked.nitrogen_share = *percent / 100;
  asked.ceilings =
      CeilingsFor(dose, {.substance = rules::v1::SUBSTANCE_AMMONIUM_PHOSPHATE, .in_must = true});
  return oenology::AnswerNutrient(asked);
}

}  // namespace

std::vector<DoseSubject> FermentingDoses() {
  Need density = NeedGravity();
  density.required = false;
  return {{"yeast",
           "dried yeast, and the water to wake it in",
           {density},
           {{"--rate", InputKind::kNumber, "g per 100 L; by the density if not said"}},
           "yeast",
           "wine yeast",
           Yeast},
          {"nutrient",
           "nutrient for the nitrogen that a must wants",
           {density},
           {{"--yan", InputKind::kMgPerL, "nitrogen that yeast can use, as measured", true},
            {"--to", InputKind::kMgPerL, "nitrogen to reach; by the Brix if not said"},
            {"--nitrogen", InputKind::kPercent, "of the nutrient's mass, from its label"}},
           "nutrient",
           "diammonium phosphate",
           Nutrient}};
}

}  // namespace rundlet::client
