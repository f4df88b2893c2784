#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_YEAST_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_YEAST_ANSWER_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/yeast.h"

namespace rundlet::oenology {

struct NutrientAsked {
  double volume_l = 0;
  double yan_mg_l = 0;                     // as measured
  std::optional<double> brix;              // for the usual target
  std::optional<double> target_yan_mg_l;   // or one's own, which goes first
  std::string nutrient;                    // its name; empty: diammonium phosphate
  double nitrogen_share = kNitrogenOfDap;  // g N per g, from the label
  std::vector<Ceiling> ceilings;           // on the nutrient, mg/L
};
absl::StatusOr<Answer> AnswerNutrient(const NutrientAsked& asked);

// Dried yeast and the water to wake it in: at a rate in g/hL if one is given, else by the Brix of
// the must, else at 25 g/hL. A rate below what the Brix asks for is warned of.
absl::StatusOr<Answer> AnswerYeast(double volume_l, std::optional<double> rate_g_hl,
                                   std::optional<double> brix = std::nullopt);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_YEAST_ANSWER_H_
