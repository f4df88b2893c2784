#include "core/oenology/carbon_dioxide.h"

#include <cmath>

#include "core/oenology/fermentation.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kAtmosphereKpa = 101.325;

absl::Status Check(double temperature_c, double pressure_kpa) {
  return FirstError({CheckRange("temperature", temperature_c, 0, 40, "C"),
                     CheckRange("pressure", pressure_kpa, 0, 1000, "kPa")});
}

}  // namespace

constexpr Equation kGasInWater = {
    "gas-in-water",
    "Carbon dioxide dissolved in water",
    "ln K0 = -58.0931 + 90.5069 (100/T) + 22.2940 ln(T/100), mol/(L atm), T in K; times 44.0095 "
    "and "
    "the pressure",
    "0 to 40 C, up to 1000 kPa",
    "1 % near one atmosphere; more at high pressure",
    "Weiss 1974, coefficients from memory; agrees at 25 C with the constant that Sander 2023 lists",
    Standing::kMemory};

constexpr Equation kGasInWine20 = {
    "gas-in-wine-20",
    "Carbon dioxide dissolved in wine at 20 C",
    "g/L = 0.01951 P (0.86 - 0.01 A) (1 - 0.00144 S), P absolute in kPa, A in % vol, S sugar in "
    "g/L",
    "20 C, alcohol 0 to 20 % vol, sugar 0 to 200 g/L, up to 1000 kPa",
    "not stated",
    "pressure method of the EU and the OIV, as quoted in a collection of EU texts",
    Standing::kSecondHand};

constexpr Equation kGasInWine = {
    "gas-in-wine",
    "Carbon dioxide dissolved in wine at another temperature",
    "value at 20 C times K0(t) / K0(20 C)",
    "0 to 40 C, alcohol 0 to 20 % vol, sugar 0 to 200 g/L, up to 1000 kPa",
    "5 %, our judgement",
    "our own combination of the two relations above",
    Standing::kDerived};

double WeissSolubility(double temperature_c) {
  const double hundreds = (temperature_c + 273.15) / 100;
  return std::exp(-58.0931 + 90.5069 / hundreds + 22.2940 * std::log(hundreds));
}

absl::StatusOr<double> GasInWaterGL(double temperature_c, double pressure_kpa) {
  if (absl::Status s = Check(temperature_c, pressure_kpa); !s.ok()) return s;
  return WeissSolubility(temperature_c) * kCarbonDioxideGMol * pressure_kpa / kAtmosphereKpa;
}

absl::StatusOr<double> GasInWine20GL(double pressure_kpa, double alcohol_pct, double sugar_g_l) {
  if (absl::Status s =
          FirstError({Check(20, pressure_kpa), CheckRange("alcohol", alcohol_pct, 0, 20, "% vol"),
                      CheckRange("sugar", sugar_g_l, 0, 200, "g/L")});
      !s.ok()) {
    return s;
  }
  return 0.01951 * pressure_kpa * (0.86 - 0.01 * alcohol_pct) * (1 - 0.00144 * sugar_g_l);
}

absl::StatusOr<double> GasInWineGL(double temperature_c, double pressure_kpa, double alcohol_pct,
                                   double sugar_g_l) {
  if (absl::Status s = Check(temperature_c, pressure_kpa); !s.ok()) return s;
  const absl::StatusOr<double> at_20 = GasInWine20GL(pressure_kpa, alcohol_pct, sugar_g_l);
  if (!at_20.ok()) return at_20;
  return *at_20 * WeissSolubility(temperature_c) / WeissSolubility(20);
}

}  // namespace rundlet::oenology
