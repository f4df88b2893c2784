#include "core/oenology/refractometer.h"

#include <algorithm>
#include <cmath>

#include "core/oenology/alcohol.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/range.h"
#include "core/oenology/solve.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

constexpr double kMostExtract = 30;  // % by mass, where the table of indices ends
constexpr double kMostAlcohol = 16;  // % by mass, a little past the table of ethanol
constexpr int kColdest = 5;          // C, first row of the table
constexpr int kLastRow = 17;         // C, last row that was read

// What to add, rows 5 to 17 C, columns 10, 15, 20, 25, 30 %.
constexpr double kCorrections[][5] = {
    {-0.82, -0.87, -0.92, -0.95, -0.99}, {-0.80, -0.82, -0.87, -0.90, -0.94},
    {-0.74, -0.78, -0.82, -0.84, -0.88}, {-0.69, -0.73, -0.76, -0.79, -0.82},
    {-0.64, -0.67, -0.71, -0.73, -0.75}, {-0.59, -0.62, -0.65, -0.67, -0.69},
    {-0.54, -0.57, -0.59, -0.61, -0.63}, {-0.49, -0.51, -0.53, -0.55, -0.56},
    {-0.43, -0.45, -0.47, -0.48, -0.50}, {-0.38, -0.39, -0.40, -0.42, -0.43},
    {-0.32, -0.33, -0.34, -0.35, -0.36}, {-0.26, -0.27, -0.28, -0.28, -0.29},
    {-0.20, -0.20, -0.21, -0.21, -0.22}};

// How much more than water a solution of sucrose bends light.
double SucroseIndexRise(double brix) {
  return brix * (1.42779432e-3 + brix * (5.38371952e-6 + brix * 1.78277e-8));
}

// The same for ethanol, % by mass.
double EthanolIndexRise(double mass) { return mass * (5.7824230e-4 + mass * 7.2934e-6); }

double IndexRise(double alcohol_mass, double extract_mass) {
  return EthanolIndexRise(alcohol_mass) + SucroseIndexRise(extract_mass);
}

double InRow(int row, double brix) {
  const double column = std::clamp((brix - 10) / 5, 0.0, 4.0);
  const int left = std::min(static_cast<int>(column), 3);
  const double* values = kCorrections[row];
  return values[left] + (column - left) * (values[left + 1] - values[left]);
}

absl::Status CheckReading(double brix) {
  return CheckRange("refractometer reading", brix, 0, 30, "%");
}

// All of a mixture from alcohol and gravity.
Mixture MixtureOf(double alcohol_pct, double gravity) {
  Mixture m{.alcohol_pct = alcohol_pct, .gravity = gravity};
  const double rho = gravity * kWater20KgM3;
  m.alcohol_mass = alcohol_pct * kEthanol20KgM3 / rho;
  m.extract_g_l = internal::ExtractGL(gravity, alcohol_pct);
  m.extract_mass = 100 * m.extract_g_l / rho;
  return m;
}

}  // namespace

constexpr Equation kRefractiveIndex = {
    "refractive-index",
    "Refractive index of sucrose solutions",
    "n = 1.33299 + 1.42779432e-3 B + 5.38371952e-6 B^2 + 1.78277e-8 B^3, 20 C, 589 nm",
    "0 to 30 %",
    "0.00001 against the table",
    "fitted to the table of OIV-MA-AS2-02 in the French arrete of 14 September 2011, and to water",
    Standing::kDerived};

constexpr Equation kRefractometerTemperature = {
    "refractometer-temperature",
    "Refractometer at another temperature",
    "add the value of a table by reading and temperature; above 20 C 0.07 per K",
    "reading 10 to 30 %, 5 to 17 C; 17 to 20 C on a line; 20 to 30 C by the factor from memory; "
    "below 10 % as 10 %",
    "0.02 in the table; 0.1 above 20 C, our judgement",
    "OIV-MA-AS2-02 table I, rows 5 to 17 C; the factor above 20 C from memory",
    Standing::kRead};

constexpr Equation kRefractometerAlcohol = {
    "refractometer-alcohol",
    "Alcohol and extract from a refractometer and a hydrometer together",
    "n(R) = n_water + (n_ethanol(w) - n_water) + (n_sucrose(e) - n_water), with e from the gravity "
    "by Tabarie; solved for w; % by mass",
    "reading 0 to 30 %, SG 0.965 to 1.13",
    "0.5 % vol and 0.5 % extract, our judgement; not tried on wine",
    "our own model; indices of sucrose from OIV-MA-AS2-02, of ethanol from a handbook of "
    "chemistry, "
    "from memory",
    Standing::kDerived};

constexpr Equation kRefractometerFermenting = {
    "refractometer-fermenting",
    "Gravity and alcohol from refractometer readings before and now",
    "n(R) = n_water + rises by ethanol and extract, with w = (OE - RE) / (2.0665 - 0.010665 OE); "
    "solved for RE; % by mass",
    "juice of 10 to 30 %, present reading between what is left when dry and the juice",
    "0.004 SG and 0.7 % vol, our judgement; not tried on wine",
    "our own model on Balling's relation and the same indices",
    Standing::kDerived};

constexpr Equation kRogersonSymington = {
    "fortified-alcohol",
    "Alcohol of young fortified wine from refractometer and hydrometer",
    "A = 1.646 Bx - 2.703 Be - 1.794, % vol; apparent Brix by refractometer, apparent Baume by "
    "hydrometer",
    "young port and wine like it; Brix 10 to 30, Baume -2 to 9",
    "not reached; r2 0.997 against true values of 35 ports",
    "Rogerson & Symington 2006, Am. J. Enol. Vitic. 57:486, abstract",
    Standing::kRead};

absl::StatusOr<double> RefractiveIndex(double brix) {
  if (absl::Status s = CheckReading(brix); !s.ok()) return s;
  return 1.33299 + SucroseIndexRise(brix);
}

absl::StatusOr<double> RefractometerTemperatureCorrection(double brix, double temperature_c) {
  if (absl::Status s =
          FirstError({CheckReading(brix), CheckRange("temperature", temperature_c, 5, 30, "C")});
      !s.ok()) {
    return s;
  }
  if (temperature_c >= 20) return 0.07 * (temperature_c - 20);
  if (temperature_c >= kLastRow) {
    return InRow(kLastRow - kColdest, brix) * (20 - temperature_c) / (20 - kLastRow);
  }
  const int row = static_cast<int>(temperature_c) - kColdest;
  const double into = temperature_c - std::floor(temperature_c);
  return InRow(row, brix) + into * (InRow(row + 1, brix) - InRow(row, brix));
}

absl::StatusOr<double> RefractometerReadingOf(double alcohol_mass, double extract_mass) {
  if (absl::Status s =
          FirstError({CheckRange("alcohol", alcohol_mass, 0, kMostAlcohol, "% by mass"),
                      CheckRange("extract", extract_mass, -2, kMostExtract, "% by mass")});
      !s.ok()) {
    return s;
  }
  return Solve("refractometer reading", SucroseIndexRise, IndexRise(alcohol_mass, extract_mass), -3,
               45);
}

absl::StatusOr<Mixture> MixtureFromGravity(double refractometer_brix, double gravity) {
  if (absl::Status s = FirstError(
          {CheckReading(refractometer_brix), CheckRange("SG", gravity, 0.965, 1.13, "")});
      !s.ok()) {
    return s;
  }
  const auto rise = [&](double alcohol_pct) {
    const Mixture m = MixtureOf(alcohol_pct, gravity);
    return IndexRise(m.alcohol_mass, m.extract_mass);
  };
  const double target = SucroseIndexRise(refractometer_brix);
  // A reading below that of a sugar solution of this gravity leaves no room for alcohol.
  if (target <= rise(0)) {
    Mixture none = MixtureOf(0, gravity);
    none.refractometer = refractometer_brix;
    return none;
  }
  const absl::StatusOr<double> alcohol = Solve("alcohol", rise, target, 0, 20);
  if (!alcohol.ok()) return alcohol.status();
  Mixture m = MixtureOf(*alcohol, gravity);
  m.refractometer = refractometer_brix;
  return m;
}

absl::StatusOr<Mixture> MixtureFromOriginal(double refractometer_brix, double original_brix) {
  if (absl::Status s = FirstError(
          {CheckRange("refractometer reading of the juice", original_brix, 10, 30, "%"),
           CheckRange("refractometer reading", refractometer_brix, 0, original_brix, "%")});
      !s.ok()) {
    return s;
  }
  const auto alcohol_mass = [&](double real) {
    return (original_brix - real) / (2.0665 - 0.010665 * original_brix);
  };
  const auto rise = [&](double real) { return IndexRise(alcohol_mass(real), real); };
  // Real extract cannot fall below what an apparent extract of -5 % leaves: SG 0.980.
  const double least = 0.1808 * original_brix - 0.8192 * 5;
  const absl::StatusOr<double> real = Solve(
      "extract for this reading", rise, SucroseIndexRise(refractometer_brix), least, original_brix);
  if (!real.ok()) return real.status();
  const double apparent = (*real - 0.1808 * original_brix) / 0.8192;
  Mixture m{.refractometer = refractometer_brix};
  m.extract_mass = *real;
  m.alcohol_mass = alcohol_mass(*real);
  const double rho = internal::SucroseDensity(apparent, 20);
  m.gravity = rho / kWater20KgM3;
  m.extract_g_l = m.extract_mass / 100 * rho;
  m.alcohol_pct = m.alcohol_mass * rho / kEthanol20KgM3;
  return m;
}

absl::StatusOr<double> FortifiedAlcohol(double refractometer_brix, double hydrometer_baume) {
  if (absl::Status s =
          FirstError({CheckRange("refractometer reading", refractometer_brix, 10, 30, "%"),
                      CheckRange("Baume", hydrometer_baume, -2, 9, "°Bé")});
      !s.ok()) {
    return s;
  }
  return 1.646 * refractometer_brix - 2.703 * hydrometer_baume - 1.794;
}

}  // namespace rundlet::oenology
