#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_DOSE_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_DOSE_ANSWER_H_

#include <optional>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/answers/sulfite_answer.h"
#include "core/oenology/sulfite.h"

namespace rundlet::oenology {

struct SulfiteDoseAsked {
  double volume_l = 0;
  double free_mg_l = 0;              // as last measured
  std::optional<double> total_mg_l;  // running total; missing: unknown, and said
  std::optional<SulfiteWine> wine;   // needed for a molecular target
  // One of the two.
  std::optional<double> target_free_mg_l;
  std::optional<double> target_molecular_mg_l;
  SulfiteMaterial material;
  double free_share = kUsualFreeShare;  // of an addition that stays free, 0.1 to 1
  std::vector<Ceiling> ceilings;        // on total SO2, mg/L
};

// How much to add. With free SO2 at the target or above, the amount is 0.
absl::StatusOr<Answer> AnswerSulfiteDose(const SulfiteDoseAsked& asked);

struct SulfiteGivenAsked {
  double volume_l = 0;
  double amount = 0;                 // g of powder, mL of solution, tablets
  double free_mg_l = 0;              // before it
  std::optional<double> total_mg_l;  // before it
  double months = 0;                 // since then
  double loss_mg_l_month = 0;        // of free SO2; 0: none is counted, and said
  std::optional<SulfiteWine> wine;   // for the molecular part
  SulfiteMaterial material;
  double free_share = kUsualFreeShare;
  std::vector<Ceiling> ceilings;
};

// What a dose already given will have done.
absl::StatusOr<Answer> AnswerSulfiteGiven(const SulfiteGivenAsked& asked);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_DOSE_ANSWER_H_
