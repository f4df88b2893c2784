#include "core/oenology/fermentation.h"

#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kHeatKjMol = 100.4;
constexpr double kHeatCapacityKjKgK = 3.7;  // of must
constexpr double kGasLMol20 = 24.055;       // an ideal gas at 20 C and 101.325 kPa

absl::Status CheckSugar(double sugar_g_l) { return CheckRange("sugar", sugar_g_l, 0, 500, "g/L"); }

}  // namespace

constexpr Equation kFermentationGas = {"fermentation-gas",
                                       "Carbon dioxide from fermentation",
                                       "0.4886 g per g of hexose times the share that makes "
                                       "alcohol (0.95); 0.5466 L per g at 20 C and "
                                       "101.325 kPa",
                                       "sugar 0 to 500 g/L",
                                       "5 %, from the share",
                                       "C6H12O6 -> 2 C2H5OH + 2 CO2, a textbook's 180 g to 92 g "
                                       "and 88 g; share 0.90 to 0.95 from 16.83 "
                                       "g/L per % vol",
                                       Standing::kRead};

constexpr Equation kFermentationHeat = {
    "fermentation-heat",
    "Heat of fermentation",
    "Q = 100.4 kJ/mol / 180.156 g/mol = 0.557 kJ per g of hexose",
    "sugar 0 to 500 g/L",
    "other texts have 83 to 101 kJ/mol: up to 17 % less",
    "classical value of 24 kcal/mol",
    Standing::kMemory};

constexpr Equation kFermentationWarming = {
    "fermentation-warming",
    "Warming if no heat is lost",
    "dT = 0.557 S / (rho c), K, S in g/L, rho in kg/L, c = 3.7 kJ/(kg K)",
    "sugar 0 to 500 g/L",
    "10 %; a real vessel loses heat",
    "our own arithmetic; a textbook has 13 K for 100 g/L",
    Standing::kDerived};

absl::StatusOr<double> CarbonDioxideGL(double sugar_g_l, double alcohol_share) {
  if (absl::Status s =
          FirstError({CheckSugar(sugar_g_l), CheckRange("share of the sugar that makes alcohol",
                                                        alcohol_share, 0.8, 1, "")});
      !s.ok()) {
    return s;
  }
  return sugar_g_l * alcohol_share * 2 * kCarbonDioxideGMol / kHexoseGMol;
}

absl::StatusOr<double> CarbonDioxideVolumeL(double mass_g, double temperature_c) {
  if (absl::Status s = FirstError({CheckRange("mass of gas", mass_g, 0, 1e9, "g"),
                                   CheckRange("temperature", temperature_c, -20, 50, "C")});
      !s.ok()) {
    return s;
  }
  return mass_g / kCarbonDioxideGMol * kGasLMol20 * (temperature_c + 273.15) / 293.15;
}

absl::StatusOr<double> FermentationHeatKjL(double sugar_g_l) {
  if (absl::Status s = CheckSugar(sugar_g_l); !s.ok()) return s;
  return sugar_g_l * kHeatKjMol / kHexoseGMol;
}

absl::StatusOr<double> FermentationWarmingK(double sugar_g_l, double rho_kg_m3) {
  if (absl::Status s = CheckRange("density", rho_kg_m3, 900, 1200, "kg/m3"); !s.ok()) return s;
  const absl::StatusOr<double> heat = FermentationHeatKjL(sugar_g_l);
  if (!heat.ok()) return heat;
  return *heat / (rho_kg_m3 / 1000 * kHeatCapacityKjKgK);
}

}  // namespace rundlet::oenology
