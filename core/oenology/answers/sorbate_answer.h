#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_SORBATE_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_SORBATE_ANSWER_H_

#include <optional>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/sorbate.h"

namespace rundlet::oenology {

struct SorbateAsked {
  double volume_l = 0;
  double alcohol_pct = 0;
  double ph = 0;
  double sorbic_mg_l = 0;           // sorbic acid added so far
  std::optional<double> free_mg_l;  // free SO2; missing: unknown, and said
  std::vector<Ceiling> ceilings;    // on sorbic acid, mg/L
};

// Potassium sorbate that keeps a clear, sweet wine from starting again.
absl::StatusOr<Answer> AnswerSorbate(const SorbateAsked& asked);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_SORBATE_ANSWER_H_
