#include "core/oenology/energy.h"

#include "core/oenology/ethanol.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {

constexpr Equation kEnergy = {
    "energy",
    "Energy of wine",
    "kJ per 100 mL = 29 alcohol + 17 sugar + 13 acids + 10 glycerol, each in g per 100 mL; kcal: "
    "7, "
    "4, 3, 2.4",
    "alcohol 0 to 25 % vol, sugar 0 to 500 g/L, acids and glycerol 0 to 30 g/L",
    "that of the analysis; labels may differ by rounding",
    "Reg. (EU) 1169/2011, annex XIV",
    Standing::kRead};

absl::StatusOr<Energy> EnergyOf(const WineMakeup& makeup) {
  if (absl::Status s = FirstError({CheckRange("alcohol", makeup.alcohol_pct, 0, 25, "% vol"),
                                   CheckRange("sugar", makeup.sugar_g_l, 0, 500, "g/L"),
                                   CheckRange("acids", makeup.acid_g_l, 0, 30, "g/L"),
                                   CheckRange("glycerol", makeup.glycerol_g_l, 0, 30, "g/L")});
      !s.ok()) {
    return s;
  }
  const double alcohol_g = makeup.alcohol_pct * kEthanol20KgM3 / 1000;  // per 100 mL
  const double sugar_g = makeup.sugar_g_l / 10;
  const double acid_g = makeup.acid_g_l / 10;
  const double glycerol_g = makeup.glycerol_g_l / 10;
  return Energy{.kj_per_100_ml = 29 * alcohol_g + 17 * sugar_g + 13 * acid_g + 10 * glycerol_g,
                .kcal_per_100_ml = 7 * alcohol_g + 4 * sugar_g + 3 * acid_g + 2.4 * glycerol_g};
}

}  // namespace rundlet::oenology
