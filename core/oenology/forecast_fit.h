#ifndef RUNDLET_CORE_OENOLOGY_FORECAST_FIT_H_
#define RUNDLET_CORE_OENOLOGY_FORECAST_FIT_H_

#include <vector>

#include "core/oenology/forecast.h"

namespace rundlet::oenology {

// Where a fermentation may end, SG.
constexpr double kLeastFinal = 0.988;
constexpr double kMostFinal = 1.000;

// The inner part of ForecastGravity(): lays the model that suits through readings, which are sorted
// by day, stand at three times or more and are above the target at the end, and fills in the model
// and the days of `forecast`. If by itself the model would end above the target, but one that goes
// below fits almost as well, the day is that of such a course, and there is no latest one.
void FitForecast(const std::vector<GravityReading>& readings, double target, Forecast* forecast);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_FORECAST_FIT_H_
