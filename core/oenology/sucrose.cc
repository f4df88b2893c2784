#include "core/oenology/sucrose.h"

#include "core/oenology/range.h"
#include "core/oenology/solve.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {

constexpr Equation kSucroseDensity = {
    "sucrose-density",
    "Density of a sucrose solution; Brix",
    "rho = rho_water(t) + sum over i of ((t - 20)/100)^i times a polynomial in the mass fraction "
    "of sucrose, i = 0 to 4, kg/m3",
    "0 to 85 % by mass, 0 to 80 C; here to 40 C, and below 0 % carried on to -10 %",
    "0.1 kg/m3 to 30 %, 0.4 kg/m3 to 70 % against older tables",
    "ICUMSA SPS-4 (Bubnik et al. 1995); coefficients from two independent texts that agree; range "
    "from memory",
    Standing::kSecondHand};

constexpr Equation kApparentGravity = {"apparent-gravity",
                                       "Specific gravity as weighed in air",
                                       "SG = (rho - 1.2) / (rho_water(20 C) - 1.2), kg/m3",
                                       "density 950 to 1450 kg/m3",
                                       "0.00002, from the density of the air",
                                       "definition of apparent specific gravity, NBS Circular 440",
                                       Standing::kDerived};

namespace internal {

double SucroseDensity(double brix, double temperature_c) {
  const double w = brix / 100;
  const double a =
      w *
      (385.1761 + w * (135.3705 + w * (40.9299 + w * (-3.9643 + w * (13.4853 + w * -17.2890)))));
  const double b = w * (-46.2720 + w * (-7.1720 + w * (1.1597 + w * (5.1126 + w * 17.5254))));
  const double c = w * (59.7712 + w * (7.2491 + w * (12.3630 + w * -35.4791)));
  const double d = w * (-47.2207 + w * (-21.6977 + w * 27.6301));
  const double e = w * (18.3184 + w * 12.3081);
  const double t = (temperature_c - 20) / 100;
  return WaterDensity(temperature_c) + a + t * (b + t * (c + t * (d + t * e)));
}

}  // namespace internal

absl::StatusOr<double> SucroseDensity(double brix, double temperature_c) {
  if (absl::Status s = FirstError({CheckRange("Brix", brix, kLeastBrix, kMostBrix, "%"),
                                   CheckRange("temperature", temperature_c, 0, 40, "C")});
      !s.ok()) {
    return s;
  }
  return internal::SucroseDensity(brix, temperature_c);
}

absl::StatusOr<double> SucroseBrix(double rho_kg_m3, double temperature_c) {
  if (absl::Status s = CheckRange("temperature", temperature_c, 0, 40, "C"); !s.ok()) return s;
  const auto density = [&](double brix) { return internal::SucroseDensity(brix, temperature_c); };
  if (absl::Status s =
          CheckRange("density", rho_kg_m3, density(kLeastBrix), density(kMostBrix), "kg/m3");
      !s.ok()) {
    return s;
  }
  return Solve("Brix", density, rho_kg_m3, kLeastBrix, kMostBrix);
}

absl::StatusOr<double> SucroseSugarGL(double brix) {
  if (absl::Status s = CheckRange("Brix", brix, 0, kMostBrix, "%"); !s.ok()) return s;
  return brix / 100 * internal::SucroseDensity(brix, 20);
}

absl::StatusOr<double> ApparentGravity(double rho_kg_m3) {
  if (absl::Status s = CheckRange("density", rho_kg_m3, 950, 1450, "kg/m3"); !s.ok()) return s;
  return (rho_kg_m3 - 1.2) / (kWater20KgM3 - 1.2);
}

}  // namespace rundlet::oenology
