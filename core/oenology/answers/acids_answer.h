#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_ACIDS_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_ACIDS_ANSWER_H_

#include <optional>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/acids.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"

namespace rundlet::oenology {

// An acidity in g/L as one acid, as all the others and in meq/L.
absl::StatusOr<Answer> AnswerAcidity(double acidity_g_l, Acid as);

// Acidity from a titration, as all acids.
absl::StatusOr<Answer> AnswerTitration(double base_ml, double normality, double sample_ml);

// Acid up or down. Acidities in g/L as tartaric acid; one of target and change.
struct AcidDoseAsked {
  double volume_l = 0;
  std::optional<double> ta_g_l;         // as last measured; needed for a target
  std::optional<double> target_ta_g_l;  // to be reached
  std::optional<double> change_g_l;     // or by how much, as a positive number
  std::optional<double> ph;             // for the guess at its change
  double buffer_meq = kUsualBufferMeq;
  std::vector<Ceiling> ceilings;  // on acid added, or on the fall of acidity, g/L
};
absl::StatusOr<Answer> AnswerAcidDose(Acid acid, const AcidDoseAsked& asked);
// Gives the amount with bitartrate falling out in full and with none.
absl::StatusOr<Answer> AnswerCarbonateDose(Carbonate carbonate, const AcidDoseAsked& asked);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_ACIDS_ANSWER_H_
