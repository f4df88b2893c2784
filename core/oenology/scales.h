#ifndef RUNDLET_CORE_OENOLOGY_SCALES_H_
#define RUNDLET_CORE_OENOLOGY_SCALES_H_

#include <optional>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// The scales on which people read the weight of a must. All meet in the density at 20 C.
enum class Scale {
  kDensity,       // kg/m3 at 20 C
  kGravity,       // specific gravity 20/20, a true ratio (not weighed in air)
  kBrix,          // % by mass of sucrose, as a hydrometer has it
  kPlato,         // the brewers' % by mass
  kBaume,         // by a modulus, which must be known: BaumeModulus
  kOechsle,       // thousandths above water
  kKmw,           // Klosterneuburger Mostwaage, Babo
  kSucroseSugar,  // g/L of a pure solution
  kMustBrix,      // % of sucrose read on a refractometer in grape must
  kMustSugar,     // g/L in grape must
};

// Several Baume scales are about; they differ by up to 0.2 degrees at 13.
enum class BaumeModulus {
  kUs145,         // of the United States
  kDutch144,      // old Dutch
  kGerlach14678,  // Gerlach's
  kFrench14432,   // French, at 15 C: from memory
};
double ModulusOf(BaumeModulus modulus);

extern const Equation kGravity;
extern const Equation kPlato;
extern const Equation kBaume;
extern const Equation kOechsle;
extern const Equation kKmw;

// "brix", "must-sugar"; and "°Bx", "g/L" for print.
absl::string_view ScaleName(Scale scale);
absl::string_view ScaleUnit(Scale scale);
std::optional<Scale> ScaleNamed(absl::string_view name);
// The decimals that a reading on it deserves.
int ScaleDecimals(Scale scale);
// The relation between it and density.
const Equation& ScaleEquation(Scale scale);

// Density in kg/m3 at 20 C of what reads `value`; OutOfRange beyond the scale's range, with a guess
// at a slipped point (an SG of 10.40).
absl::StatusOr<double> DensityFrom(Scale scale, double value,
                                   BaumeModulus modulus = BaumeModulus::kUs145);
// What that density reads. OutOfRange where the scale has no such value (must scales below 10 %).
absl::StatusOr<double> ReadingOf(Scale scale, double rho_kg_m3,
                                 BaumeModulus modulus = BaumeModulus::kUs145);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_SCALES_H_
