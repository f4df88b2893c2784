#include "core/oenology/water.h"

#include "core/oenology/range.h"

namespace rundlet::oenology {

constexpr Equation kWaterDensity = {
    "water-density",
    "Density of water",
    "rho = 999.974950 (1 - (t - 3.983035)^2 (t + 301.797) / (522528.9 (t + 69.34881))), kg/m3, t "
    "in C",
    "0 to 40 C, 101.325 kPa, free of air",
    "0.001 kg/m3",
    "Tanaka et al. 2001, Metrologia 38:301, recommended by the CIPM",
    Standing::kRead};

namespace internal {

double WaterDensity(double temperature_c) {
  const double t = temperature_c;
  const double from_densest = t - 3.983035;
  return 999.974950 *
         (1 - from_densest * from_densest * (t + 301.797) / (522528.9 * (t + 69.34881)));
}

}  // namespace internal

absl::StatusOr<double> WaterDensity(double temperature_c) {
  if (absl::Status s = CheckRange("temperature", temperature_c, 0, 40, "C"); !s.ok()) return s;
  return internal::WaterDensity(temperature_c);
}

}  // namespace rundlet::oenology
