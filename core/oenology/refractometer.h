#ifndef RUNDLET_CORE_OENOLOGY_REFRACTOMETER_H_
#define RUNDLET_CORE_OENOLOGY_REFRACTOMETER_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// A refractometer reads how far light is bent, and says what percentage of sucrose would bend it as
// far. In juice that is nearly the truth; alcohol bends light too, so once fermentation has begun
// the reading is too high by about 0.45 for each per cent of alcohol by mass.
extern const Equation kRefractiveIndex;
extern const Equation kRefractometerTemperature;
extern const Equation kRefractometerAlcohol;
extern const Equation kRefractometerFermenting;
extern const Equation kRogersonSymington;

// Refractive index at 20 C and 589 nm of a sucrose solution; 0 to 30 %.
absl::StatusOr<double> RefractiveIndex(double brix);

// What to add to a reading of `brix` % taken at `temperature_c` on an instrument without
// compensation, made for 20 C. 5 to 17 C from the table of the OIV, 17 to 20 C on a line to
// nothing, 20 to 30 C 0.07 per K, which is from memory. Readings below 10 % are treated as 10 %.
absl::StatusOr<double> RefractometerTemperatureCorrection(double brix, double temperature_c);

// What is in a fermenting must or a wine.
struct Mixture {
  double alcohol_pct = 0;    // % vol at 20 C
  double alcohol_mass = 0;   // % by mass
  double extract_mass = 0;   // real extract, % by mass
  double extract_g_l = 0;    // the same in g/L
  double gravity = 0;        // SG 20/20
  double refractometer = 0;  // the reading that belongs to it, %
};

// From a refractometer reading and the specific gravity of the same sample, both at 20 C: the only
// pair that needs no knowledge of the must. Derived, and not tried on wine: expect 0.5 % vol either
// way. Reading 0 to 30 %, gravity 0.965 to 1.130.
absl::StatusOr<Mixture> MixtureFromGravity(double refractometer_brix, double gravity);

// From the refractometer reading of the juice (10 to 30 %) and the present one, by the alcohol that
// Balling's relation expects. Derived, and not tried on wine: expect 0.004 SG either way.
absl::StatusOr<Mixture> MixtureFromOriginal(double refractometer_brix, double original_brix);

// Port and wines like it: % vol from the refractometer (apparent Brix, 10 to 30) and the hydrometer
// (apparent Baume, -2 to 9) by Rogerson & Symington 2006, who tried it on 35 young ports.
absl::StatusOr<double> FortifiedAlcohol(double refractometer_brix, double hydrometer_baume);

// The reading that a mixture gives: the additive model itself. Alcohol 0 to 16 % by mass, extract 0
// to 30 % by mass.
absl::StatusOr<double> RefractometerReadingOf(double alcohol_mass, double extract_mass);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_REFRACTOMETER_H_
