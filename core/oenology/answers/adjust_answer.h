#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_ADJUST_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_ADJUST_ANSWER_H_

#include "absl/status/statusor.h"
#include "core/oenology/adjust.h"
#include "core/oenology/answer.h"

// Sugar, concentrate, water and spirit. A density is given in Brix: scales.h converts.
namespace rundlet::oenology {

absl::StatusOr<Answer> AnswerSugar(double volume_l, double brix, double target_brix);
absl::StatusOr<Answer> AnswerSugarForAlcohol(double volume_l, double potential_pct, double rise_pct,
                                             double sugar_g_l_pct);
absl::StatusOr<Answer> AnswerConcentrate(double volume_l, double brix, double target_brix,
                                         double concentrate_brix);
absl::StatusOr<Answer> AnswerWater(double volume_l, double brix, double target_brix);

// Concentrate made up to a volume (what Brix will it have?) or to a volume of a Brix (how much does
// it take?).
absl::StatusOr<Answer> AnswerMakeUpToVolume(double concentrate_l, double concentrate_brix,
                                            double volume_l);
absl::StatusOr<Answer> AnswerMakeUpToBrix(double volume_l, double brix, double concentrate_brix);

// Spirit to a strength by mass, with the Pearson square beside it.
absl::StatusOr<Answer> AnswerSpirit(double volume_l, double wine_pct, double spirit_pct,
                                    double target_pct);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_ADJUST_ANSWER_H_
