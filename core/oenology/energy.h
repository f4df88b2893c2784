#ifndef RUNDLET_CORE_OENOLOGY_ENERGY_H_
#define RUNDLET_CORE_OENOLOGY_ENERGY_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// The food value of wine by the factors of EU law.
extern const Equation kEnergy;

// What of a wine has food value.
struct WineMakeup {
  double alcohol_pct = 0;   // % vol, 0 to 25
  double sugar_g_l = 0;     // 0 to 500
  double acid_g_l = 0;      // organic acids, 0 to 30
  double glycerol_g_l = 0;  // a polyol, 0 to 30
};

struct Energy {
  double kj_per_100_ml = 0;
  double kcal_per_100_ml = 0;
};

absl::StatusOr<Energy> EnergyOf(const WineMakeup& makeup);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ENERGY_H_
