#ifndef RUNDLET_CORE_OENOLOGY_ADJUST_H_
#define RUNDLET_CORE_OENOLOGY_ADJUST_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

// Sugar, concentrate, water and spirit: how much for how much of a change, by masses, so that the
// change of volume comes out too. Volumes at 20 C. Brix is per cent by mass of a sucrose solution
// (sucrose.h); a must of that density behaves so nearly the same that the difference is lost in the
// reading.
namespace rundlet::oenology {

extern const Equation kSugarAddition;
extern const Equation kSugarForAlcohol;
extern const Equation kConcentrateAddition;
extern const Equation kWaterAddition;
extern const Equation kMakeUp;
extern const Equation kSpirit;
extern const Equation kPearsonSquare;

// What to add, and what there is then.
struct Adjustment {
  double added_kg = 0;
  double added_l = 0;  // 0 for dry sugar
  double volume_l = 0;
};

// Dry sucrose that brings must from `brix` (0 to 60) to `target_brix` above it.
absl::StatusOr<Adjustment> SugarToBrix(double volume_l, double brix, double target_brix);

// Sucrose, kg, that gives `rise_pct` (0 to 8 % vol) more alcohol than the `potential_pct` (0 to 20)
// that is there or to come. `sugar_g_l_pct` is the sugar that makes one % vol, 15.4 to 20 g/L. The
// sugar dilutes what was there, which is counted.
inline constexpr double kSugarForOnePct = 16.83;
absl::StatusOr<Adjustment> SugarForAlcohol(double volume_l, double potential_pct, double rise_pct,
                                           double sugar_g_l_pct);

// Concentrate of `concentrate_brix` (up to 85) that brings must from `brix` to `target_brix`,
// between the two.
absl::StatusOr<Adjustment> ConcentrateToBrix(double volume_l, double brix, double target_brix,
                                             double concentrate_brix);

// Water that lowers must from `brix` to `target_brix` (1 at the least).
absl::StatusOr<Adjustment> WaterToBrix(double volume_l, double brix, double target_brix);

// Concentrate and water.
struct MakeUp {
  double concentrate_l = 0;
  double water_l = 0;  // more than the difference of volumes: they shrink together
  double volume_l = 0;
  double brix = 0;
  double density_kg_m3 = 0;
};
// So much concentrate made up with water to a volume.
absl::StatusOr<MakeUp> MakeUpToVolume(double concentrate_l, double concentrate_brix,
                                      double volume_l);
// How much concentrate a volume of a given Brix takes.
absl::StatusOr<MakeUp> MakeUpToBrix(double volume_l, double brix, double concentrate_brix);

// Two wines, spirits or waters of 0 to 100 % vol mixed by mass. Sugar is taken as water.
struct SpiritMix {
  double strength_pct = 0;
  double volume_l = 0;
  double shrinkage_l = 0;  // of the sum of volumes
};
absl::StatusOr<SpiritMix> MixStrengths(double first_l, double first_pct, double second_l,
                                       double second_pct);

struct SpiritDose {
  double added_l = 0;
  double volume_l = 0;
  double shrinkage_l = 0;
  double square_l = 0;  // by the Pearson square, which knows no shrinkage
};
// Spirit (or weaker wine, or water at 0 %) that brings a wine to a target strength strictly between
// the two.
absl::StatusOr<SpiritDose> SpiritToStrength(double volume_l, double wine_pct, double spirit_pct,
                                            double target_pct);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ADJUST_H_
