#include "core/oenology/ethanol.h"

#include <algorithm>

#include "absl/types/span.h"
#include "core/oenology/range.h"
#include "core/oenology/solve.h"

namespace rundlet::oenology {
namespace {

// The 54 coefficients of the formula: powers of the mass fraction from 0, of (t - 20) from 1, and
// of both from 1, one row a power of (t - 20).
constexpr double kByFraction[] = {998.20123,   -192.9769495, 389.1238958, -1668.103923,
                                  13522.15441, -88292.78388, 306287.4042, -613838.1234,
                                  747017.2998, -547846.1354, 223446.0334, -39032.85426};
constexpr double kByTemperature[] = {-0.20618513,    -0.0052682542, 3.6130013e-05,
                                     -3.8957702e-07, 7.169354e-09,  -9.9739231e-11};
constexpr double kByBoth1[] = {0.1693433461530087, -10.46914743455169, 71.96353469546523,
                               -704.7478054272792, 3924.090430035045,  -12101.64659068747,
                               22486.46550400788,  -26055.62982188164, 18523.73922069467,
                               -7420.201433430137, 1285.617841998974};
constexpr double kByBoth2[] = {-0.0119301300505701, 0.2517399633803461, -2.170575700536993,
                               13.53034988843029,   -50.29988758547014, 109.635566657757,
                               -142.2753946421155,  108.043594285623,   -44.14153236817392,
                               7.442971530188783};
constexpr double kByBoth3[] = {-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156,
                               1.02299296671922,       -2.895696483903638,  4.810060584300675,
                               -4.672147440794683,     2.458043105903461,   -0.5411227621436812};
constexpr double kByBoth4[] = {4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06,
                               -1.51578483698721e-06};
constexpr double kByBoth5[] = {-2.788074354782409e-08, 1.345612883493354e-08};

// c[0] + c[1] x + c[2] x^2 ...
double Polynomial(absl::Span<const double> c, double x) {
  double sum = 0;
  for (size_t i = c.size(); i > 0; --i) sum = sum * x + c[i - 1];
  return sum;
}

absl::Status CheckTemperature(double temperature_c) {
  return CheckRange("temperature", temperature_c, -20, 40, "C");
}

}  // namespace

constexpr Equation kEthanolDensity = {
    "ethanol-density",
    "Density of a mixture of water and ethanol",
    "rho = sum A_k p^(k-1) + sum B_k (t-20)^k + sum C_ik p^k (t-20)^i, 54 coefficients, kg/m3, p "
    "mass fraction, t in C",
    "0 to 100 % by mass, -20 to 40 C",
    "0.05 to 0.1 kg/m3 (from memory): 0.05 to 0.1 % vol",
    "OIML R 22 (1975), the same as Directive 76/766/EEC; coefficients A1-A5 and B1-B4 read in the "
    "directive, all of them in a library of metrology",
    Standing::kRead};

constexpr Equation kAlcoholByVolume = {"alcohol-by-volume",
                                       "Alcohol by volume from the mass fraction",
                                       "q = 100 p rho(p, 20 C) / 789.239, % vol at 20 C",
                                       "0 to 100 %",
                                       "that of the density",
                                       "OIML R 22 (1975)",
                                       Standing::kRead};

constexpr Equation kSulfurDioxideDensity = {"so2-density",
                                            "Density without the weight of sulfur dioxide",
                                            "rho = rho_observed - 0.6 S, kg/m3, S total SO2 in g/L",
                                            "total SO2 0 to 500 mg/L",
                                            "not stated",
                                            "OIV-MA-AS2-01A",
                                            Standing::kRead};

namespace internal {

double EthanolDensity(double mass_fraction, double temperature_c) {
  const double p = mass_fraction;
  const double t = temperature_c - 20;
  const double slope[] = {0,
                          p * Polynomial(kByBoth1, p),
                          p * Polynomial(kByBoth2, p),
                          p * Polynomial(kByBoth3, p),
                          p * Polynomial(kByBoth4, p),
                          p * Polynomial(kByBoth5, p)};
  return Polynomial(kByFraction, p) + t * Polynomial(kByTemperature, t) + Polynomial(slope, t);
}

double EthanolDensityAt20(double alcohol_pct) {
  // The volume share rises with the mass share all the way, so a few steps of bisection would do;
  // q = p rho / rho_ethanol turned round settles faster and cannot leave 0 to 1.
  double p = alcohol_pct / 100 * kEthanol20KgM3 / kR22Water20KgM3;
  for (int i = 0; i < 60; ++i) {
    const double next = alcohol_pct / 100 * kEthanol20KgM3 / EthanolDensity(p, 20);
    if (next == p) break;
    p = next;
  }
  return EthanolDensity(p, 20);
}

}  // namespace internal

absl::StatusOr<double> EthanolDensity(double mass_fraction, double temperature_c) {
  if (absl::Status s = FirstError(
          {CheckRange("mass fraction", mass_fraction, 0, 1, ""), CheckTemperature(temperature_c)});
      !s.ok()) {
    return s;
  }
  return internal::EthanolDensity(mass_fraction, temperature_c);
}

absl::StatusOr<double> EthanolMassFraction(double rho_kg_m3, double temperature_c) {
  if (absl::Status s = CheckTemperature(temperature_c); !s.ok()) return s;
  const auto density = [&](double p) { return internal::EthanolDensity(p, temperature_c); };
  if (absl::Status s =
          CheckRange("density of water and ethanol", rho_kg_m3, density(1), density(0), "kg/m3");
      !s.ok()) {
    return s;
  }
  return Solve("mass fraction", density, rho_kg_m3, 0, 1);
}

absl::StatusOr<double> MassFractionFromAlcohol(double alcohol_pct) {
  if (absl::Status s = CheckRange("alcohol", alcohol_pct, 0, 100, "% vol"); !s.ok()) return s;
  const auto volume = [](double p) {
    return 100 * p * internal::EthanolDensity(p, 20) / kEthanol20KgM3;
  };
  // The density of pure ethanol is rounded, so 100 % may lie a hair beyond 1.
  const absl::StatusOr<double> p = Solve("mass fraction", volume, alcohol_pct, 0, 1.0001);
  if (!p.ok()) return p;
  return std::min(*p, 1.0);
}

absl::StatusOr<double> AlcoholFromMassFraction(double mass_fraction) {
  if (absl::Status s = CheckRange("mass fraction", mass_fraction, 0, 1, ""); !s.ok()) return s;
  return 100 * mass_fraction * internal::EthanolDensity(mass_fraction, 20) / kEthanol20KgM3;
}

absl::StatusOr<double> AlcoholFromDensity(double rho_kg_m3, double temperature_c) {
  const absl::StatusOr<double> p = EthanolMassFraction(rho_kg_m3, temperature_c);
  if (!p.ok()) return p;
  return AlcoholFromMassFraction(*p);
}

absl::StatusOr<double> DensityFromAlcohol(double alcohol_pct, double temperature_c) {
  if (absl::Status s = CheckTemperature(temperature_c); !s.ok()) return s;
  const absl::StatusOr<double> p = MassFractionFromAlcohol(alcohol_pct);
  if (!p.ok()) return p;
  return internal::EthanolDensity(*p, temperature_c);
}

absl::StatusOr<double> DensityWithoutSulfurDioxide(double rho_kg_m3, double so2_mg_l) {
  if (absl::Status s = FirstError({CheckRange("density", rho_kg_m3, 780, 1400, "kg/m3"),
                                   CheckRange("total SO2", so2_mg_l, 0, 500, "mg/L")});
      !s.ok()) {
    return s;
  }
  return rho_kg_m3 - 0.6 * so2_mg_l / 1000;
}

}  // namespace rundlet::oenology
