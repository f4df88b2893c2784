#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_ALCOHOL_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_ALCOHOL_ANSWER_H_

#include "absl/status/statusor.h"
#include "core/oenology/alcohol.h"
#include "core/oenology/answer.h"
#include "core/oenology/energy.h"

namespace rundlet::oenology {

// Alcohol from gravity before and now: by extract first (the one for grape wine), then Balling's
// and the simple factor, and how far they lie apart. Cutaia's where the original lies in its range.
absl::StatusOr<Answer> AnswerAlcohol(double original, double present,
                                     double sugar_free_extract_g_l = kUsualSugarFreeExtractGL);

// A distillate's alcohol from its density at a temperature, and back. Not for wine as it is.
absl::StatusOr<Answer> AnswerDistillate(double rho_kg_m3, double temperature_c);
absl::StatusOr<Answer> AnswerDistillateDensity(double alcohol_pct, double temperature_c);

// The density of a wine without the weight of its sulfur dioxide, as the OIV wants it.
absl::StatusOr<Answer> AnswerDensityWithoutSulfurDioxide(double rho_kg_m3, double so2_mg_l);

// Sugar left, estimated from gravity and alcohol.
absl::StatusOr<Answer> AnswerResidualSugar(
    double gravity, double alcohol_pct, double sugar_free_extract_g_l = kUsualSugarFreeExtractGL);

// Energy per 100 mL.
absl::StatusOr<Answer> AnswerEnergy(const WineMakeup& makeup);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_ALCOHOL_ANSWER_H_
