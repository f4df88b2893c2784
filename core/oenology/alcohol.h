#ifndef RUNDLET_CORE_OENOLOGY_ALCOHOL_H_
#define RUNDLET_CORE_OENOLOGY_ALCOHOL_H_

#include <optional>

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// Alcohol of a wine from its density before and after: several relations, which differ by a per
// cent by volume in a strong wine. None replaces a distillation. Gravities are SG 20/20; sugar,
// water or concentrate that was added on the way must be counted in the original one.
extern const Equation kAlcoholFactor;
extern const Equation kAlcoholBalling;
extern const Equation kAlcoholCutaia;
extern const Equation kAlcoholExtract;
extern const Equation kExtract;
extern const Equation kResidualSugar;
extern const Equation kPotentialAlcohol;
extern const Equation kInstrumentAlcohol;

// By a simple factor: 131.25 times the drop. 0.965 to 1.200, original not below present.
absl::StatusOr<double> AlcoholByFactor(double original, double present);

// Balling's: per cent by mass of extract before and now, and what yeast makes of the difference.
struct Balling {
  double original_extract = 0;  // % by mass
  double apparent_extract = 0;  // % by mass, below 0 in a dry wine
  double real_extract = 0;      // % by mass
  double alcohol_mass = 0;      // % by mass
  double alcohol_pct = 0;       // % vol
};
absl::StatusOr<Balling> AlcoholByBalling(double original, double present);

// Cutaia, Reid & Speers 2009, per cent by mass from extracts in % by mass: made for beers of 9 to
// 18 Plato, refused from 9 to 18 outside.
absl::StatusOr<double> AlcoholMassByCutaia(double original_extract, double apparent_extract);
// The same from gravities, in % vol.
absl::StatusOr<double> AlcoholByCutaia(double original, double present);

// Sugar-free extract of wines: acids, glycerol, salts, tannin.
constexpr double kUsualSugarFreeExtractGL = 25;

// For grape wine: the alcohol for which the must's sugar (must.h), the present extract (Tabarie)
// and 16.83 g/L of sugar to the per cent agree. Original density as a must within the OIV table
// (SG 1.041 to 1.130); sugar-free extract 10 to 50 g/L.
absl::StatusOr<double> AlcoholByExtract(double original, double present,
                                        double sugar_free_extract_g_l = kUsualSugarFreeExtractGL);
// The same where the sugar of the must is known; g/L, 50 to 400.
absl::StatusOr<double> AlcoholFromMustSugar(double must_sugar_g_l, double present,
                                            double sugar_free_extract_g_l);

// The three that hold for wine side by side. By extract is missing where the must lies outside its
// table; low, middle and high are over those that are there.
struct AlcoholSpread {
  double by_factor = 0;
  Balling by_balling;
  std::optional<double> by_extract;
  double low = 0;
  double middle = 0;  // their mean
  double high = 0;
};
absl::StatusOr<AlcoholSpread> AlcoholSideBySide(
    double original, double present, double sugar_free_extract_g_l = kUsualSugarFreeExtractGL);

// Total dry extract of a wine in g/L from its gravity and alcohol (Tabarie): the density that is
// left when the alcohol is taken away, as a sucrose solution. Negative values come back as they
// are: then gravity and alcohol do not belong together. Gravity 0.965 to 1.130, alcohol 0 to 25 %
// vol.
absl::StatusOr<double> ExtractGL(double gravity, double alcohol_pct);

// Sugar that is left, in g/L: total extract less what wine holds without sugar. An estimate to 7
// g/L either way, good for telling dry from sweet and no more; 0 where the extract is all accounted
// for.
absl::StatusOr<double> ResidualSugarGL(double gravity, double alcohol_pct,
                                       double sugar_free_extract_g_l = kUsualSugarFreeExtractGL);

// What sugar will make: g/L of sugar that yield 1 % vol.
enum class SugarYield {
  kEu1683,     // OIV and EU
  kFrench175,  // older French convention
  kCommon17,   // common
  kHigh165,    // yeast that yields much
  kTheory1543  // nothing lost: no wine reaches it
};
double GramsPerPercent(SugarYield yield);
// % vol from sugar in g/L, 0 to 500.
absl::StatusOr<double> PotentialAlcohol(double sugar_g_l, SugarYield yield = SugarYield::kEu1683);
// As must refractometers print it: 0.059 (2.66 Oe - 30), 40 to 150 Oe.
absl::StatusOr<double> InstrumentPotentialAlcohol(double oechsle);

namespace internal {
double ExtractGL(double gravity, double alcohol_pct);
}  // namespace internal

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ALCOHOL_H_
