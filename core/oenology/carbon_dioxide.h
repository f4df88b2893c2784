#ifndef RUNDLET_CORE_OENOLOGY_CARBON_DIOXIDE_H_
#define RUNDLET_CORE_OENOLOGY_CARBON_DIOXIDE_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// How much carbon dioxide stays dissolved, in g/L, under a given pressure of it.
extern const Equation kGasInWater;
extern const Equation kGasInWine20;
extern const Equation kGasInWine;

// In water; 0 to 40 C, partial pressure 0 to 1000 kPa.
absl::StatusOr<double> GasInWaterGL(double temperature_c, double pressure_kpa);
// In wine at 20 C; absolute pressure, alcohol 0 to 20 % vol, sugar 0 to 200 g/L.
absl::StatusOr<double> GasInWine20GL(double pressure_kpa, double alcohol_pct, double sugar_g_l);
// In wine at 0 to 40 C: the value at 20 C, moved by the ratio for water.
absl::StatusOr<double> GasInWineGL(double temperature_c, double pressure_kpa, double alcohol_pct,
                                   double sugar_g_l);

// Solubility in water after Weiss, mol/(L atm); no check.
double WeissSolubility(double temperature_c);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_CARBON_DIOXIDE_H_
