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

// Dried yeast at a rate in g/hL (25 is usual), and the water to wake it in.
absl::StatusOr<Answer> AnswerYeast(double volume_l, double rate_g_hl);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_YEAST_ANSWER_H_
