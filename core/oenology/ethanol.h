#ifndef RUNDLET_CORE_OENOLOGY_ETHANOL_H_
#define RUNDLET_CORE_OENOLOGY_ETHANOL_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// Mixtures of water and ethanol and nothing else: a distillate, or spirit. The density of a wine is
// not that of such a mixture (its extract weighs too); alcohol.h deals with wine.
extern const Equation kEthanolDensity;
extern const Equation kAlcoholByVolume;
extern const Equation kSulfurDioxideDensity;

// Density of ethanol at 20 C by the same formula.
constexpr double kEthanol20KgM3 = 789.239;
// And of water, which stands 0.006 kg/m3 below that of the CIPM.
constexpr double kR22Water20KgM3 = 998.20123;

// Density in kg/m3; mass fraction 0 to 1, -20 to 40 C.
absl::StatusOr<double> EthanolDensity(double mass_fraction, double temperature_c);
// The reverse. OutOfRange if no mixture has that density at that temperature.
absl::StatusOr<double> EthanolMassFraction(double rho_kg_m3, double temperature_c);

// % vol, which always means at 20 C, to mass fraction and back.
absl::StatusOr<double> MassFractionFromAlcohol(double alcohol_pct);
absl::StatusOr<double> AlcoholFromMassFraction(double mass_fraction);

// Both in one: density at a temperature to % vol at 20 C, and back.
absl::StatusOr<double> AlcoholFromDensity(double rho_kg_m3, double temperature_c);
absl::StatusOr<double> DensityFromAlcohol(double alcohol_pct, double temperature_c);

// Density of a wine or distillate in kg/m3 without the weight of its sulfur dioxide: less 0.6 kg/m3
// for each g/L. `so2_mg_l` is total SO2, 0 to 500.
absl::StatusOr<double> DensityWithoutSulfurDioxide(double rho_kg_m3, double so2_mg_l);

namespace internal {
double EthanolDensity(double mass_fraction, double temperature_c);
// Density at 20 C of a mixture with this % vol, 0 to 100.
double EthanolDensityAt20(double alcohol_pct);
}  // namespace internal

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ETHANOL_H_
