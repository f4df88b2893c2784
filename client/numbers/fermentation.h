#ifndef RUNDLET_CLIENT_NUMBERS_FERMENTATION_H_
#define RUNDLET_CLIENT_NUMBERS_FERMENTATION_H_

#include <optional>
#include <string>
#include <vector>

#include "core/fold/fold.h"
#include "core/oenology/answer.h"
#include "core/quantity/when.h"

namespace rundlet::client {

// One reading of density on the way down.
struct DensityStep {
  When when;
  double gravity = 0;                   // corrected to 20 C where the temperature is known
  std::string as_read;                  // "1.045 SG"
  std::optional<double> temperature_c;  // read with it
};

// The readings of density of the wine in a vessel since it was last topped up or made up, in order.
std::vector<DensityStep> FermentationIn(const Fold& fold, Handle vessel);

// Whether they tell of a fermentation: one that fell, or that has yet to.
bool IsFermentation(const std::vector<DensityStep>& steps);

// A table of them, the last dozen, with what each day took.
std::string PrintFermentation(const std::vector<DensityStep>& steps, size_t width = 0);

struct DensityForecast {
  oenology::Answer answer;
  std::optional<When> day;  // when the target is reached, if that can be told
};

// When a gravity is reached, or why that cannot be told. FailedPrecondition from too few readings.
absl::StatusOr<DensityForecast> ForecastOf(const std::vector<DensityStep>& steps, double target,
                                           const When& now);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_NUMBERS_FERMENTATION_H_
