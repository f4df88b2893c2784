#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_FERMENTATION_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_FERMENTATION_ANSWER_H_

#include <optional>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/oenology/answer.h"
#include "core/oenology/forecast.h"

namespace rundlet::oenology {

// A fermentation, and the room that it stands in.
struct FermentationInRoom {
  double volume_l = 0;                           // of must, 0.1 to 1e6
  double sugar_g_l = 0;                          // that will ferment, 1 to 400
  double room_c = 20;                            // of the air, 0 to 40
  double peak_share = 0.25;                      // of all sugar, on the busiest day; 0.05 to 1
  double limit_ppm = 5000;                       // of carbon dioxide, 1000 to ShortTermPpm()
  std::optional<double> room_m3 = std::nullopt;  // 1 to 1e6
};

// Gas and heat of the whole, and on the busiest day; the fresh air for it, and, if the room's size
// is known, how soon it stands at the limit without any. Always with its caution.
absl::StatusOr<Answer> AnswerFermentation(const FermentationInRoom& what);

// Carbon dioxide that a wine can hold at a temperature under one atmosphere of it, and water
// beside.
absl::StatusOr<Answer> AnswerDissolvedGas(double temperature_c, double alcohol_pct,
                                          double sugar_g_l);

// The day when a gravity is reached, in days after the last reading, with a range; or what keeps it
// from being told. Says plainly what is stuck, or too hot.
absl::StatusOr<Answer> AnswerForecast(absl::Span<const GravityReading> readings, double target);
// The same of what ForecastGravity made of them.
Answer AnswerForecast(absl::Span<const GravityReading> readings, double target,
                      const Forecast& forecast);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_FERMENTATION_ANSWER_H_
