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
  std::optional<double> alcohol_pct;    // 12 if missing, with a warning: juice has none
  std::optional<double> pk;             // one's own, in place of all constants
};

// Molecular SO2 of so much free SO2, and the free SO2 that a molecular one needs. The constants in
// use disagree (PkBand), so each shows the figure by every one of them, and the error of the first
// figure reaches from the lowest to the highest. The first figure is, of what there is, that by the
// OIV method; of what is needed, the one that protects the wine most. Why: docs/oenology.md.
absl::StatusOr<Answer> AnswerMolecularSo2(double free_mg_l, const SulfiteWine& wine);
absl::StatusOr<Answer> AnswerFreeForMolecular(double molecular_mg_l, const SulfiteWine& wine);

// What AnswerMolecularSo2() and AnswerFreeForMolecular() are made of, for answers about doses.

// The constants for that wine, with how they were found said in the answer: the step, what was
// assumed, a warning where the table was left. With a constant of one's own all three are that.
absl::StatusOr<PkBand> PkFor(const SulfiteWine& wine, Answer& answer);

// A figure for each constant, the middle one first under `label`; a warning where it stings, and
// what it would be at 0 % vol where no alcohol was given.
absl::Status AddMolecularSo2(absl::string_view label, double free_mg_l, const SulfiteWine& wine,
                             const PkBand& pk, Answer& answer);

// Free SO2 needed, by each constant.
struct FreeNeeded {
  double most_mg_l = 0;   // by the lowest constant: to dose by
  double wine_mg_l = 0;   // by the OIV method
  double least_mg_l = 0;  // by the highest constant: the least that could do
  double error_mg_l = 0;  // of most_mg_l: to the farther end, with the pH off by 0.05
};
absl::StatusOr<FreeNeeded> FreeNeededFor(double molecular_mg_l, const SulfiteWine& wine,
                                         const PkBand& pk, Answer& answer);
void AddFreeNeeded(absl::string_view label, const FreeNeeded& needed, const PkBand& pk,
                   Answer& answer);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_SULFITE_ANSWER_H_
