#ifndef RUNDLET_CORE_OENOLOGY_MUST_H_
#define RUNDLET_CORE_OENOLOGY_MUST_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// Grape must: the table of the OIV that ties the reading of a refractometer (per cent of sucrose,
// at 20 C) to density and sugar. Two parabolas were laid through its 28 rows from 10 to 30 %; they
// miss no row by more than 0.07 kg/m3 and 0.22 g/L. A must holds acids and salts too, so its sugar
// is less than that of a sucrose solution of the same density: never mix the two.
extern const Equation kMustDensity;
extern const Equation kMustSugar;

constexpr double kLeastMustBrix = 10;
constexpr double kMostMustBrix = 30;
constexpr double kLeastMustKgM3 = 1039.03;  // as kLeastMustBrix
constexpr double kMostMustKgM3 = 1128.75;   // as kMostMustBrix

// Density at 20 C in kg/m3 of a must that reads `brix` % on a refractometer.
absl::StatusOr<double> MustDensity(double brix);
// The reverse.
absl::StatusOr<double> MustBrix(double rho_kg_m3);
// Sugar (as invert sugar) in g/L of must at 20 C.
absl::StatusOr<double> MustSugarGL(double rho_kg_m3);
// The density of a must with that much sugar.
absl::StatusOr<double> MustDensityFromSugar(double sugar_g_l);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_MUST_H_
