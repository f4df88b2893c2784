#ifndef RUNDLET_CORE_OENOLOGY_TOPPING_H_
#define RUNDLET_CORE_OENOLOGY_TOPPING_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/oenology/equation.h"

// Filling a vessel to the brim: how much is missing, and which wines would serve.
namespace rundlet::oenology {

extern const Equation kUllage;
extern const Equation kToppingChoice;

// L missing to the brim. OutOfRange if the volume is above the capacity by more than 0.5 %.
absl::StatusOr<double> UllageL(double capacity_l, double volume_l);

// A wine, as far as it is known.
struct ToppingWine {
  std::string name;
  std::string lot;                    // empty: unknown
  std::string colour;                 // any word, the same for the same; empty: unknown
  double volume_l = 0;                // on hand
  std::optional<double> alcohol_pct;  // % vol
  std::optional<double> sugar_g_l;
  std::optional<double> gravity = std::nullopt;  // SG as last read of this wine, corrected
};

// Whether its gravity says that it is likely to ferment still: above 1.000. A sweet wine that has
// been made stable is taken for one too; nobody can tell by the gravity.
bool LikelyFermenting(const ToppingWine& wine);

struct ToppingChoice {
  std::string name;
  double distance = 0;     // 0: the same wine; grows with difference
  bool enough = false;     // there is as much as is missing
  double take_l = 0;       // what is missing, or all there is
  std::string difference;  // in words: "other lot; 0.8 % vol weaker"; empty: none known
};

// The candidates with any wine on hand that do not ferment, the most alike first; those with enough
// before those without where they are equally alike. What is not known counts as a small
// difference.
std::vector<ToppingChoice> RankTopping(const ToppingWine& wine, double missing_l,
                                       absl::Span<const ToppingWine> candidates);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_TOPPING_H_
