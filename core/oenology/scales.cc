#include "core/oenology/scales.h"

#include <cmath>

#include "core/oenology/must.h"
#include "core/oenology/range.h"
#include "core/oenology/solve.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

struct ScaleRow {
  Scale scale;
  absl::string_view name;
  absl::string_view unit;
  int decimals;
  const Equation* equation;
};

// In the order of the enum.
constexpr ScaleRow kRows[] = {
    {Scale::kDensity, "density", "kg/m3", 1, &kSucroseDensity},
    {Scale::kGravity, "gravity", "SG 20/20", 4, &kGravity},
    {Scale::kBrix, "brix", "°Bx", 2, &kSucroseDensity},
    {Scale::kPlato, "plato", "°P", 2, &kPlato},
    {Scale::kBaume, "baume", "°Bé", 2, &kBaume},
    {Scale::kOechsle, "oechsle", "°Oe", 1, &kOechsle},
    {Scale::kKmw, "kmw", "°KMW", 2, &kKmw},
    {Scale::kSucroseSugar, "sucrose-sugar", "g/L", 1, &kSucroseDensity},
    {Scale::kMustBrix, "must-brix", "%", 2, &kMustDensity},
    {Scale::kMustSugar, "must-sugar", "g/L", 1, &kMustSugar},
};

const ScaleRow& RowOf(Scale scale) { return kRows[static_cast<int>(scale)]; }

// The least and most gravity that the scales are read at: dry wine to syrup.
constexpr double kLeastGravity = 0.965;
constexpr double kMostGravity = 1.400;

double PlatoOf(double sg) { return -616.868 + sg * (1111.14 + sg * (-630.272 + sg * 135.997)); }

absl::StatusOr<double> GravityFromPlato(double plato) {
  if (absl::Status s = CheckRange("Plato", plato, PlatoOf(kLeastGravity), PlatoOf(1.17), "°P");
      !s.ok()) {
    return s;
  }
  return Solve("gravity", PlatoOf, plato, kLeastGravity, 1.17);
}

absl::StatusOr<double> GravityFromKmw(double kmw) {
  if (absl::Status s = CheckRange("KMW", kmw, 0, 50, "°KMW"); !s.ok()) return s;
  return 1 + kmw * (0.022 * kmw + 4.54) / 1000;
}

absl::StatusOr<double> DensityOfSucroseSugar(double sugar_g_l) {
  const auto sugar = [](double brix) { return brix / 100 * internal::SucroseDensity(brix, 20); };
  if (absl::Status s = CheckRange("sugar", sugar_g_l, 0, sugar(kMostBrix), "g/L"); !s.ok()) {
    return s;
  }
  const absl::StatusOr<double> brix = Solve("Brix", sugar, sugar_g_l, 0, kMostBrix);
  if (!brix.ok()) return brix.status();
  return internal::SucroseDensity(*brix, 20);
}

absl::StatusOr<double> DensityOfGravity(absl::StatusOr<double> sg) {
  if (!sg.ok()) return sg.status();
  return *sg * kWater20KgM3;
}

// What stands within rounding of nothing is nothing: water is at the zero of a scale, not below it.
double Settled(double value) { return std::fabs(value) < 1e-9 ? 0 : value; }

absl::StatusOr<double> GravityFromBaume(double baume, double modulus) {
  const double low = modulus - modulus / kLeastGravity;
  const double high = modulus - modulus / kMostGravity;
  if (absl::Status s = CheckRange("Baume", baume, low, high, "°Bé"); !s.ok()) return s;
  return modulus / (modulus - baume);
}

}  // namespace

constexpr Equation kGravity = {
    "gravity",
    "Specific gravity and density",
    "SG 20/20 = rho(20 C) / 998.2067, kg/m3; a true ratio",
    "0.965 to 1.400",
    "the definition; a ratio weighed in air is up to 0.0001 higher at 24 Brix",
    "definition, with water by the CIPM formula",
    Standing::kDerived};

constexpr Equation kPlato = {"plato",
                             "Degrees Plato from specific gravity",
                             "P = -616.868 + 1111.14 s - 630.272 s^2 + 135.997 s^3, s = SG 20/20",
                             "0.965 to 1.17 (a fit made for 1.000 to 1.083)",
                             "0.03 against the ICUMSA formula",
                             "cubic used by brewing chemists (ASBC)",
                             Standing::kMemory};

constexpr Equation kBaume = {
    "baume",
    "Degrees Baume from specific gravity",
    "Be = m - m/SG; m = 145 (US), 144 (old Dutch), 146.78 (Gerlach), 144.32 (French, at 15 C)",
    "0.965 to 1.400",
    "the definition; scales with other moduli differ by up to 0.3 at 13",
    "145, 144 and 146.78 as in the unit definitions of GNU Units; 144.32 from memory",
    Standing::kRead};

constexpr Equation kOechsle = {"oechsle",
                               "Degrees Oechsle from specific gravity",
                               "Oe = 1000 (SG 20/20 - 1)",
                               "0.965 to 1.400",
                               "the definition",
                               "manual of a must refractometer, which states it",
                               Standing::kRead};

constexpr Equation kKmw = {"kmw",
                           "Klosterneuburger Mostwaage (Babo) from Oechsle",
                           "Oe = KMW (0.022 KMW + 4.54)",
                           "0 to 50 KMW",
                           "not stated",
                           "a food lexicon and the manual of a must refractometer, which agree",
                           Standing::kRead};

double ModulusOf(BaumeModulus modulus) {
  switch (modulus) {
    case BaumeModulus::kUs145:
      return 145;
    case BaumeModulus::kDutch144:
      return 144;
    case BaumeModulus::kGerlach14678:
      return 146.78;
    case BaumeModulus::kFrench14432:
      return 144.32;
  }
  return 145;
}

absl::string_view ScaleName(Scale scale) { return RowOf(scale).name; }
absl::string_view ScaleUnit(Scale scale) { return RowOf(scale).unit; }
int ScaleDecimals(Scale scale) { return RowOf(scale).decimals; }
const Equation& ScaleEquation(Scale scale) { return *RowOf(scale).equation; }

std::optional<Scale> ScaleNamed(absl::string_view name) {
  for (const ScaleRow& row : kRows) {
    if (row.name == name) return row.scale;
  }
  return std::nullopt;
}

absl::StatusOr<double> DensityFrom(Scale scale, double value, BaumeModulus modulus) {
  switch (scale) {
    case Scale::kDensity:
      if (absl::Status s = CheckRange("density", value, 963, 1398, "kg/m3"); !s.ok()) return s;
      return value;
    case Scale::kGravity:
      if (absl::Status s = CheckRange("SG", value, kLeastGravity, kMostGravity, ""); !s.ok()) {
        return s;
      }
      return value * kWater20KgM3;
    case Scale::kBrix:
      return SucroseDensity(value, 20);
    case Scale::kPlato:
      return DensityOfGravity(GravityFromPlato(value));
    case Scale::kBaume:
      return DensityOfGravity(GravityFromBaume(value, ModulusOf(modulus)));
    case Scale::kOechsle:
      if (absl::Status s = CheckRange("Oechsle", value, -35, 400, "°Oe"); !s.ok()) return s;
      return (1 + value / 1000) * kWater20KgM3;
    case Scale::kKmw:
      return DensityOfGravity(GravityFromKmw(value));
    case Scale::kSucroseSugar:
      return DensityOfSucroseSugar(value);
    case Scale::kMustBrix:
      return MustDensity(value);
    case Scale::kMustSugar:
      return MustDensityFromSugar(value);
  }
  return absl::InvalidArgumentError("no such scale");
}

absl::StatusOr<double> ReadingOf(Scale scale, double rho_kg_m3, BaumeModulus modulus) {
  if (absl::Status s = CheckRange("density", rho_kg_m3, 963, 1398, "kg/m3"); !s.ok()) return s;
  const double sg = Settled(rho_kg_m3 / kWater20KgM3 - 1) + 1;
  switch (scale) {
    case Scale::kDensity:
      return rho_kg_m3;
    case Scale::kGravity:
      return sg;
    case Scale::kBrix:
      return SucroseBrix(rho_kg_m3, 20);
    case Scale::kPlato:
      if (absl::Status s = CheckRange("SG on the Plato scale", sg, kLeastGravity, 1.17, "");
          !s.ok()) {
        return s;
      }
      return PlatoOf(sg);
    case Scale::kBaume:
      return ModulusOf(modulus) * (1 - 1 / sg);
    case Scale::kOechsle:
      return 1000 * (sg - 1);
    case Scale::kKmw: {
      const double oechsle = 1000 * (sg - 1);
      if (absl::Status s = CheckRange("Oechsle on the KMW scale", oechsle, 0, 282, "°Oe");
          !s.ok()) {
        return s;
      }
      return (std::sqrt(4.54 * 4.54 + 4 * 0.022 * oechsle) - 4.54) / (2 * 0.022);
    }
    case Scale::kSucroseSugar: {
      const absl::StatusOr<double> brix = SucroseBrix(rho_kg_m3, 20);
      return brix.ok() ? SucroseSugarGL(Settled(*brix)) : brix;
    }
    case Scale::kMustBrix:
      return MustBrix(rho_kg_m3);
    case Scale::kMustSugar:
      return MustSugarGL(rho_kg_m3);
  }
  return absl::InvalidArgumentError("no such scale");
}

}  // namespace rundlet::oenology
