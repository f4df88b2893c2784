#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_ANSWER_H_

#include <optional>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/sulfite.h"

namespace rundlet::oenology {

// What decides how much of the free SO2 is molecular. What is missing is assumed, and said.
struct SulfiteWine {
  double ph = 0;
  std::optional<double> temperature_c;  // 20 if missing
  std::optional<double> alcohol_pct;    // 12 if missing
  std::optional<double> pk;             // one's own, in place of the table
};

// Molecular SO2 of so much free SO2, and the free SO2 that a molecular one needs. Each gives the
// figure by the older constant for water beside it.
absl::StatusOr<Answer> AnswerMolecularSo2(double free_mg_l, const SulfiteWine& wine);
absl::StatusOr<Answer> AnswerFreeForMolecular(double molecular_mg_l, const SulfiteWine& wine);

// pK1 for that wine, with how it was found said in the answer: the step, what was assumed, a
// warning where the table was left.
absl::StatusOr<double> PkFor(const SulfiteWine& wine, Answer& answer);

// pH read to 0.05 and pK1 known to 0.05 make 0.07 in the exponent: the error of molecular SO2, as a
// share of it.
inline constexpr double kMolecularError = 0.175;

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_ANSWER_H_
