#ifndef RUNDLET_CORE_OENOLOGY_FINING_H_
#define RUNDLET_CORE_OENOLOGY_FINING_H_

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/oenology/equation.h"

// Finings and what is dosed like them: g for a volume, within the range that a source gives.
namespace rundlet::oenology {

extern const Equation kFiningRanges;
extern const Equation kBentoniteSlurry;
extern const Equation kBenchTrial;
extern const Equation kSilicaSol;
extern const Equation kCopperSulfate;
extern const Equation kOak;

enum class Fining {
  kBentonite,
  kSilicaSol,  // as SiO2
  kGelatineWhite,
  kGelatineRed,
  kChitosan,
  kCasein,
  kIsinglass,
  kEggAlbumin,
  kPvpp,
  kTannin,
  kOakChips,
};

// What a source gives for one of them, mg/L of the dry substance.
struct FiningRange {
  Fining fining;
  absl::string_view name;
  double low_mg_l;
  double high_mg_l;
  absl::string_view source;
  Standing standing;
  bool allergen;  // from egg, milk, fish or crustaceans
};

absl::Span<const FiningRange> FiningRanges();
const FiningRange& RangeOf(Fining fining);

// g for a dose (0 to 20 000 mg/L) in a volume.
absl::StatusOr<double> FiningMass(double dose_mg_l, double volume_l);

// Bentonite swells in water before it meets wine.
inline constexpr double kUsualSlurryPct = 6;  // w/v: the most water that the rule allows
struct Slurry {
  double water_l = 0;
  double water_share_pct = 0;  // of the wine's volume
};
// `slurry_pct` 1 to 15 g in 100 mL of water.
absl::StatusOr<Slurry> BentoniteSlurry(double mass_g, double slurry_pct, double volume_l);

// What a trial in the glass means for the vessel.
struct BenchTrial {
  double stock_pct_wv = 0;  // g of the substance in 100 mL of stock, 0.01 to 50
  double stock_ml = 0;      // that the chosen sample got, 0 to 100
  double sample_ml = 0;     // 10 to 5000
};
struct TrialDose {
  double dose_mg_l = 0;
  double mass_g = 0;
  double stock_ml = 0;
};
absl::StatusOr<TrialDose> ScaleUp(const BenchTrial& trial, double volume_l);

// mL of a silica sol of so many % w/w SiO2 (5 to 50) for mg/L of SiO2, and mg/L of mL per hL.
absl::StatusOr<double> SilicaSolMl(double silica_mg_l, double sol_pct, double volume_l);
absl::StatusOr<double> SilicaOfSol(double sol_ml_hl, double sol_pct);

// g of copper in a g of copper sulfate pentahydrate.
inline constexpr double kCopperOfSulfate = 63.546 / 249.685;
// mg of copper sulfate pentahydrate for a rise of copper by 0 to 20 mg/L, and back.
absl::StatusOr<double> CopperSulfateMg(double copper_mg_l, double volume_l);
absl::StatusOr<double> CopperOfSulfate(double sulfate_mg, double volume_l);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_FINING_H_
