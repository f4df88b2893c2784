// Yeast and what it wants.
#include "client/dose/ceilings.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/answers/yeast_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

absl::StatusOr<Answer> Yeast(const DoseCase& dose) {
  return oenology::AnswerYeast(dose.wine.volume_l(), dose.values.Or("rate", 25));
}

absl::StatusOr<Answer> Nutrient(const DoseCase& dose) {
  const Values& values = dose.values;
  oenology::NutrientAsked asked;
  asked.volume_l = dose.wine.volume_l();
  asked.yan_mg_l = values["yan"];
  asked.target_yan_mg_l = values.Find("to");
  if (const auto gravity = values.Find("density")) {
    const auto brix = BrixOf(*gravity);
    if (!brix.ok()) return brix.status();
    asked.brix = *brix;
  }
  if (dose.material != nullptr) asked.nutrient = dose.material->name();
  if (const auto percent = values.Find("nitrogen")) asked.nitrogen_share = *percent / 100;
  asked.ceilings = CeilingsFor(dose, CeilingOf::kNutrient);
  return oenology::AnswerNutrient(asked);
}

}  // namespace

std::vector<DoseSubject> FermentingDoses() {
  Need density = NeedGravity();
  density.required = false;
  return {{"yeast",
           "dried yeast, and the water to wake it in",
           {},
           {{"--rate", InputKind::kNumber, "g per 100 L; 25 if not said"}},
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
