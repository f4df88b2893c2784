#ifndef RUNDLET_CORE_OENOLOGY_FERMENTATION_H_
#define RUNDLET_CORE_OENOLOGY_FERMENTATION_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// What a fermentation gives off, from the sugar that it eats (as hexose).
extern const Equation kFermentationGas;
extern const Equation kFermentationHeat;
extern const Equation kFermentationWarming;

// Of the sugar eaten, the share that goes the way of alcohol; the rest makes yeast and by-products.
constexpr double kUsualAlcoholShare = 0.95;
// Molar masses, g/mol.
constexpr double kHexoseGMol = 180.156;
constexpr double kCarbonDioxideGMol = 44.0095;

// Carbon dioxide in g per L of must; sugar 0 to 500 g/L, share 0.8 to 1.
absl::StatusOr<double> CarbonDioxideGL(double sugar_g_l, double alcohol_share = kUsualAlcoholShare);
// Volume in L of that many g of the gas at 101.325 kPa, as an ideal gas; -20 to 50 C, up to 1e9 g.
absl::StatusOr<double> CarbonDioxideVolumeL(double mass_g, double temperature_c);

// Heat in kJ per L of must: 100.4 kJ per mol of hexose. The literature has 83 to 101.
absl::StatusOr<double> FermentationHeatKjL(double sugar_g_l);

// By how many K the must would warm if no heat left it; density 900 to 1200 kg/m3.
absl::StatusOr<double> FermentationWarmingK(double sugar_g_l, double rho_kg_m3 = 1090);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_FERMENTATION_H_
