#ifndef RUNDLET_CORE_OENOLOGY_SORBATE_H_
#define RUNDLET_CORE_OENOLOGY_SORBATE_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

// Potassium sorbate keeps yeast from starting again in a clear wine with sugar. It stops no
// fermentation and no bacteria.
namespace rundlet::oenology {

extern const Equation kSorbateDose;
extern const Equation kSorbicAcid;

// g of sorbic acid in a g of potassium sorbate: 112.13 / 150.22.
inline constexpr double kSorbicAcidOfSorbate = 112.13 / 150.22;

struct SorbateDose {
  double sorbate_mg_l = 0;  // potassium sorbate
  bool clamped = false;     // the table ended before what was asked; the nearest value was taken
};

// Potassium sorbate, mg/L, by alcohol (0 to 25 % vol) and pH (2.5 to 4.5): bilinear in a table of
// 10 to 14 % vol and pH 3.1 to 3.5, clamped outside. Falls with alcohol, rises with pH.
absl::StatusOr<SorbateDose> SorbateFor(double alcohol_pct, double ph);

// The same need as sorbic acid by alcohol alone, as another source has it (10 to 14 % vol).
absl::StatusOr<double> SorbicAcidByAlcohol(double alcohol_pct);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_SORBATE_H_
