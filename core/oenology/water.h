#ifndef RUNDLET_CORE_OENOLOGY_WATER_H_
#define RUNDLET_CORE_OENOLOGY_WATER_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// The formula recommended by the CIPM (Tanaka et al. 2001): water free of air, 101.325 kPa,
// 0 to 40 C, uncertainty below 0.001 kg/m3.
extern const Equation kWaterDensity;

// Density of water at 20 C by that formula: what specific gravity 20/20 refers to.
constexpr double kWater20KgM3 = 998.2067455596167;

// Density in kg/m3. OutOfRange outside 0 to 40 C.
absl::StatusOr<double> WaterDensity(double temperature_c);

namespace internal {
// Without the check; for callers that made it.
double WaterDensity(double temperature_c);
}  // namespace internal

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_WATER_H_
