#ifndef RUNDLET_CORE_OENOLOGY_HYDROMETER_H_
#define RUNDLET_CORE_OENOLOGY_HYDROMETER_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// A hydrometer is right at the one temperature it was made for. Elsewhere the liquid has another
// density, and the glass a little more or less volume. How far the liquid's density moves depends
// on what it is, so there are three models:
//   water    what common tables do; too little for must, by 0.001 at SG 1.100 and 13 K
//   sucrose  for juice and fermenting must: sugar expands more than water
//   wine     for dry wine: a water-ethanol mixture of the same strength
// All need a sample without gas, and hold from 0 to 40 C.
extern const Equation kHydrometerWater;
extern const Equation kHydrometerSucrose;
extern const Equation kHydrometerWine;

// Cubic expansion of soda-lime glass per K.
constexpr double kGlassPerK = 25e-6;

// A reading in specific gravity on a hydrometer marked t/t, and where it was taken.
struct HydrometerReading {
  double gravity = 0;        // as read, 0.965 to 1.200
  double temperature_c = 0;  // of the sample, 0 to 40
  double calibration_c = 0;  // on the hydrometer: 15, 15.56 (60 F) or 20, as a rule; 10 to 25
  double glass_per_k = kGlassPerK;
};

// The density in kg/m3 of the sample in the jar, as warm as it is: no model of the liquid in it.
absl::StatusOr<double> DensityInJar(const HydrometerReading& reading);

// What the hydrometer would have read at its own temperature.
absl::StatusOr<double> CorrectAsWater(const HydrometerReading& reading);
absl::StatusOr<double> CorrectAsSucrose(const HydrometerReading& reading);
absl::StatusOr<double> CorrectAsWine(const HydrometerReading& reading, double alcohol_pct);

// The density in kg/m3 at 20 C that follows from the same model: what scales.h starts from.
absl::StatusOr<double> DensityAt20AsSucrose(const HydrometerReading& reading);
absl::StatusOr<double> DensityAt20AsWine(const HydrometerReading& reading, double alcohol_pct);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_HYDROMETER_H_
