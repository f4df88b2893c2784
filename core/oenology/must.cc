#include "core/oenology/must.h"

#include "core/oenology/range.h"
#include "core/oenology/solve.h"

namespace rundlet::oenology {
namespace {

double DensityOf(double brix) {
  return 1000 * (1.00056481 + brix * (3.63293777e-3 + brix * 2.13363743e-5));
}

double SugarOf(double rho_kg_m3) {
  const double r = rho_kg_m3 / 1000;
  return -3556.61101687 + r * (4401.32091601 - r * 865.3845861);
}

absl::Status CheckDensity(double rho_kg_m3) {
  return CheckRange("density of the must", rho_kg_m3, kLeastMustKgM3, kMostMustKgM3, "kg/m3");
}

}  // namespace

constexpr Equation kMustDensity = {
    "must-density",
    "Density of grape must from its refractometer reading",
    "rho = 1000.56481 + 3.63293777 B + 0.0213363743 B^2, kg/m3 at 20 C, B in % of sucrose",
    "10 to 30 %",
    "0.07 kg/m3 against the table; real musts scatter more, the table states nothing",
    "fitted to the table of OIV-MA-AS2-02 (Oeno 21/2004), printed in the French arrete of 14 "
    "September 2011, annex IV",
    Standing::kDerived};

constexpr Equation kMustSugar = {
    "must-sugar",
    "Sugar of grape must from its density",
    "S = -865.3845861 r^2 + 4401.32091601 r - 3556.61101687, g/L at 20 C, r in kg/L",
    "density 1039 to 1128.75 kg/m3",
    "0.22 g/L against the table; real musts scatter more, the table states nothing",
    "fitted to the table of OIV-MA-AS2-02 (Oeno 21/2004), printed in the French arrete of 14 "
    "September 2011, annex IV",
    Standing::kDerived};

absl::StatusOr<double> MustDensity(double brix) {
  if (absl::Status s = CheckRange("Brix of the must", brix, kLeastMustBrix, kMostMustBrix, "%");
      !s.ok()) {
    return s;
  }
  return DensityOf(brix);
}

absl::StatusOr<double> MustBrix(double rho_kg_m3) {
  if (absl::Status s = CheckDensity(rho_kg_m3); !s.ok()) return s;
  return Solve("Brix of the must", DensityOf, rho_kg_m3, kLeastMustBrix, kMostMustBrix);
}

absl::StatusOr<double> MustSugarGL(double rho_kg_m3) {
  if (absl::Status s = CheckDensity(rho_kg_m3); !s.ok()) return s;
  return SugarOf(rho_kg_m3);
}

absl::StatusOr<double> MustDensityFromSugar(double sugar_g_l) {
  if (absl::Status s = CheckRange("sugar of the must", sugar_g_l, SugarOf(kLeastMustKgM3),
                                  SugarOf(kMostMustKgM3), "g/L");
      !s.ok()) {
    return s;
  }
  return Solve("density of the must", SugarOf, sugar_g_l, kLeastMustKgM3, kMostMustKgM3);
}

}  // namespace rundlet::oenology
