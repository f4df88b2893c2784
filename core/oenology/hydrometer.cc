#include "core/oenology/hydrometer.h"

#include "core/oenology/ethanol.h"
#include "core/oenology/range.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

absl::Status Check(const HydrometerReading& r) {
  return FirstError({CheckRange("SG", r.gravity, 0.965, 1.2, ""),
                     CheckRange("temperature", r.temperature_c, 0, 40, "C"),
                     CheckRange("temperature of the hydrometer", r.calibration_c, 10, 25, "C"),
                     CheckRange("expansion of glass", r.glass_per_k, 0, 1e-4, "per K")});
}

// Warm glass has more volume and floats higher: the same mark then stands for less density.
double InJar(const HydrometerReading& r) {
  return r.gravity * internal::WaterDensity(r.calibration_c) *
         (1 - r.glass_per_k * (r.temperature_c - r.calibration_c));
}

}  // namespace

constexpr Equation kHydrometerWater = {
    "hydrometer-water",
    "Hydrometer at another temperature, the sample taken for water",
    "SG = R (1 - beta (t - tc)) rho_water(tc) / rho_water(t), beta = 0.000025 per K for glass",
    "SG 0.965 to 1.2, 0 to 40 C, hydrometers for 10 to 25 C",
    "0.0002 for water; 0.001 too little for must at 1.100 and 13 K",
    "water by the CIPM formula; expansion of glass from memory",
    Standing::kDerived};

constexpr Equation kHydrometerSucrose = {
    "hydrometer-sucrose",
    "Hydrometer at another temperature, the sample taken for sugar solution",
    "find w with rho_sucrose(w, t) = R rho_water(tc) (1 - beta (t - tc)); SG = rho_sucrose(w, tc) "
    "/ rho_water(tc)",
    "SG 0.965 to 1.2, 0 to 40 C, hydrometers for 10 to 25 C",
    "0.0003, our estimate for must",
    "ICUMSA SPS-4 and CIPM; expansion of glass from memory",
    Standing::kDerived};

constexpr Equation kHydrometerWine = {"hydrometer-wine",
                                      "Hydrometer at another temperature, in dry wine",
                                      "SG = R (1 - beta (t - tc)) rho_mix(A, tc) / rho_mix(A, t), "
                                      "a mixture of water and ethanol of A "
                                      "% vol",
                                      "SG 0.965 to 1.03, 0 to 40 C, alcohol 0 to 25 % vol",
                                      "0.0003, our estimate for dry wine",
                                      "OIML R 22; expansion of glass from memory",
                                      Standing::kDerived};

absl::StatusOr<double> DensityInJar(const HydrometerReading& reading) {
  if (absl::Status s = Check(reading); !s.ok()) return s;
  return InJar(reading);
}

absl::StatusOr<double> CorrectAsWater(const HydrometerReading& reading) {
  if (absl::Status s = Check(reading); !s.ok()) return s;
  return InJar(reading) / internal::WaterDensity(reading.temperature_c);
}

absl::StatusOr<double> CorrectAsSucrose(const HydrometerReading& reading) {
  if (absl::Status s = Check(reading); !s.ok()) return s;
  const absl::StatusOr<double> brix = SucroseBrix(InJar(reading), reading.temperature_c);
  if (!brix.ok()) return brix;
  return internal::SucroseDensity(*brix, reading.calibration_c) /
         internal::WaterDensity(reading.calibration_c);
}

absl::StatusOr<double> DensityAt20AsSucrose(const HydrometerReading& reading) {
  if (absl::Status s = Check(reading); !s.ok()) return s;
  const absl::StatusOr<double> brix = SucroseBrix(InJar(reading), reading.temperature_c);
  if (!brix.ok()) return brix;
  return internal::SucroseDensity(*brix, 20);
}

absl::StatusOr<double> DensityAt20AsWine(const HydrometerReading& reading, double alcohol_pct) {
  if (absl::Status s = FirstError({Check(reading),
                                   CheckRange("SG of a dry wine", reading.gravity, 0.965, 1.03, ""),
                                   CheckRange("alcohol", alcohol_pct, 0, 25, "% vol")});
      !s.ok()) {
    return s;
  }
  const absl::StatusOr<double> p = MassFractionFromAlcohol(alcohol_pct);
  if (!p.ok()) return p;
  return InJar(reading) * internal::EthanolDensity(*p, 20) /
         internal::EthanolDensity(*p, reading.temperature_c);
}

absl::StatusOr<double> CorrectAsWine(const HydrometerReading& reading, double alcohol_pct) {
  const absl::StatusOr<double> at_20 = DensityAt20AsWine(reading, alcohol_pct);
  if (!at_20.ok()) return at_20;
  const absl::StatusOr<double> p = MassFractionFromAlcohol(alcohol_pct);
  if (!p.ok()) return p;
  return *at_20 * internal::EthanolDensity(*p, reading.calibration_c) /
         internal::EthanolDensity(*p, 20) / internal::WaterDensity(reading.calibration_c);
}

}  // namespace rundlet::oenology
