#ifndef RUNDLET_CORE_OENOLOGY_YEAST_H_
#define RUNDLET_CORE_OENOLOGY_YEAST_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

// Dried yeast, and the nitrogen it wants.
namespace rundlet::oenology {

extern const Equation kYanTarget;
extern const Equation kNutrientNitrogen;
extern const Equation kInoculum;
extern const Equation kYeastForSugar;

// g of nitrogen in a g of diammonium phosphate, (NH4)2HPO4.
inline constexpr double kNitrogenOfDap = 2 * 14.007 / 132.056;

struct YanTarget {
  double yan_mg_l = 0;
  bool clamped = false;
};
// Yeast-assimilable nitrogen that a must of so many Brix (5 to 40) should have, mg N/L: straight
// between 200 at 21 and 350 at 27 Brix, clamped outside.
absl::StatusOr<YanTarget> YanTargetFor(double brix);

// g of a nutrient that holds `nitrogen_share` g N per g (0.005 to 0.5) for a rise of YAN by 0 to
// 1000 mg N/L in a volume, and back.
absl::StatusOr<double> NutrientForRise(double rise_mg_l, double volume_l, double nitrogen_share);
absl::StatusOr<double> RiseOfNutrient(double mass_g, double volume_l, double nitrogen_share);

// What is usual, g/hL, and twice that for what is hard for yeast.
inline constexpr double kUsualYeastGHl = 25;
inline constexpr double kMostYeastGHl = 2 * kUsualYeastGHl;
// Dried yeast in g/hL for a must of so many Brix (0 to 50): the usual up to 25 Brix, twice that
// from 30 on, straight between.
absl::StatusOr<double> YeastRateFor(double brix);

struct Inoculum {
  double yeast_g = 0;
  double water_ml = 0;          // to wake it in, ten times its mass
  double cells_million_ml = 0;  // viable, in the must
};
// `rate_g_hl` 1 to 200; 2e10 viable cells in a g of dried yeast.
absl::StatusOr<Inoculum> InoculumFor(double volume_l, double rate_g_hl);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_YEAST_H_
