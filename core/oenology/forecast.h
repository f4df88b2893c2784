#ifndef RUNDLET_CORE_OENOLOGY_FORECAST_H_
#define RUNDLET_CORE_OENOLOGY_FORECAST_H_

#include <optional>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// When a fermentation reaches a gravity, from the readings so far. A guess with a range: yeast may
// stop at any time, and a warmer or colder cellar moves the day.
extern const Equation kLogisticForecast;
extern const Equation kTailForecast;

// A reading. Days count from any start; all readings of one call from the same one.
struct GravityReading {
  double day = 0;
  double gravity = 0;  // SG, corrected for temperature, 0.965 to 1.200
  std::optional<double> temperature_c = std::nullopt;
};

// At this or below a wine counts as dry (common practice, no source): a target where none is named.
constexpr double kDryGravity = 0.996;

// What the readings say about now.
enum class FermentationState {
  kReached,     // the last reading is at the target or below
  kNotStarted,  // the gravity has hardly moved since the first reading
  kFermenting,  // falling
  kAtRest,      // hardly moves over two days, at 1.000 or below: dry, or nearly
  kStuck,       // hardly moves over two days, above 1.000
  kRising       // a reading stands well above an earlier one: no forecast
};

enum class ForecastModel { kLogistic, kTail };

struct Forecast {
  FermentationState state = FermentationState::kFermenting;
  double drop_per_day = 0;  // now, by the last readings; SG per day, positive when falling

  // The model, where one could be laid through the readings (state kFermenting only).
  std::optional<ForecastModel> model;
  double original = 0;      // SG at the start, by the model; of the tail: at the first reading
  double final = 0;         // SG where it ends, by the model: 0.988 to 1.000
  double rate_per_day = 0;  // k
  double middle_day = 0;    // logistic: the day of the fastest drop; tail: the first reading
  double residual = 0;      // root mean square of what the model misses, SG

  // When the target is reached: the day, which is always after the last reading, and a range of two
  // standard errors either side. Nothing in `day` if the model ends above the target; nothing in
  // `latest` if it may do so; nothing in `earliest` if that is now, within the error.
  std::optional<double> day;
  double error_days = 0;  // the wider side of the range, before the last reading cuts it; never 0
  std::optional<double> earliest;
  std::optional<double> latest;
  // Where it would end by the readings alone, if that is above the target: `day` then holds only if
  // it goes on to dryness.
  std::optional<double> ends_above;

  // State kReached: the first reading from which on all are at the target or below, and the day of
  // the one before it, if there is one.
  std::optional<double> reached_day;
  double reached_gravity = 0;
  std::optional<double> above_day;

  // State kRising: the lower reading, and the later one that stands higher.
  double rise_from = 0;
  double rise_to = 0;
};

// The usual error of one reading, SG: what a reading counts in the fit and the least residual that
// the range allows for.
constexpr double kReadingError = 0.001;
// A later reading that stands higher by more than this is no error of reading.
constexpr double kMostRise = 0.005;
// Readings a day apart tell no hours: no target is nearer than this to a reading above it.
constexpr double kLeastAheadDays = 0.1;

// Readings in any order; target 0.988 to 1.100. FailedPrecondition, saying what is missing, from
// fewer than three readings on three different times over half a day or more. Pure: same readings,
// same forecast.
absl::StatusOr<Forecast> ForecastGravity(absl::Span<const GravityReading> readings, double target);

// The models themselves: gravity on a day, and the day of a gravity; nothing if it is never
// reached. No checks.
double LogisticGravity(double original, double final, double rate_per_day, double middle_day,
                       double day);
std::optional<double> LogisticDay(double original, double final, double rate_per_day,
                                  double middle_day, double target);
std::optional<double> TailDay(double first_gravity, double final, double rate_per_day,
                              double first_day, double target);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_FORECAST_H_
