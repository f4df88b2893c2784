#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_INSTRUMENTS_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_INSTRUMENTS_ANSWER_H_

#include <optional>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/hydrometer.h"

namespace rundlet::oenology {

// A hydrometer read at another temperature than its own. With `wine_alcohol_pct` the sample is a
// dry wine of that strength, else juice or must; the other models are shown beside it.
absl::StatusOr<Answer> AnswerHydrometer(const HydrometerReading& reading,
                                        std::optional<double> wine_alcohol_pct = std::nullopt);

// A refractometer without compensation read at another temperature than 20 C; juice only.
absl::StatusOr<Answer> AnswerRefractometerTemperature(double brix, double temperature_c);

// Alcohol, extract and gravity while alcohol is present: from the refractometer and the gravity of
// the same sample, or from the refractometer before and now.
absl::StatusOr<Answer> AnswerRefractometerWithGravity(double brix, double gravity);
absl::StatusOr<Answer> AnswerRefractometerWithOriginal(double brix, double original_brix);

// Fortified wine, from refractometer (Brix) and hydrometer (Baume).
absl::StatusOr<Answer> AnswerFortified(double brix, double baume);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_INSTRUMENTS_ANSWER_H_
