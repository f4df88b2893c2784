#ifndef RUNDLET_CORE_OENOLOGY_SUCROSE_H_
#define RUNDLET_CORE_OENOLOGY_SUCROSE_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// Pure solutions of sucrose: what the Brix and Plato scales of hydrometers mean. Grape must is
// another matter (must.h): at equal density it holds a tenth less sugar.
extern const Equation kSucroseDensity;
extern const Equation kApparentGravity;

// Brix here is per cent by mass. Below 0 it is the "apparent extract" of a wine lighter than water:
// the formula carried on past its end, as the trade does.
constexpr double kLeastBrix = -10;
constexpr double kMostBrix = 85;

// Density in kg/m3 at 0 to 40 C (the formula of ICUMSA holds to 80 C; the water in it is taken from
// water.h, which ends at 40 C and differs by less than 0.004 kg/m3).
absl::StatusOr<double> SucroseDensity(double brix, double temperature_c);
// The Brix of a solution that has this density at this temperature.
absl::StatusOr<double> SucroseBrix(double rho_kg_m3, double temperature_c);
// Sugar in g/L of solution at 20 C; `brix` from 0.
absl::StatusOr<double> SucroseSugarGL(double brix);

// Specific gravity 20/20 as weighed in air, where older tables give that: (rho - 1.2) / (rho_w -
// 1.2). 0.0001 above the true ratio at 24 Brix.
absl::StatusOr<double> ApparentGravity(double rho_kg_m3);

namespace internal {
double SucroseDensity(double brix, double temperature_c);
}  // namespace internal

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_SUCROSE_H_
