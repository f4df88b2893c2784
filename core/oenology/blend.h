#ifndef RUNDLET_CORE_OENOLOGY_BLEND_H_
#define RUNDLET_CORE_OENOLOGY_BLEND_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/oenology/equation.h"

// Blends. Whatever is dissolved (alcohol to within its shrinkage, acidity, sugar, total SO2) is the
// mean weighted by volume. pH is not, and free SO2 finds a new balance: no function here takes
// either; measure them.
namespace rundlet::oenology {

extern const Equation kBlendMean;
extern const Equation kBlendSolver;

// One wine that can go into it.
struct BlendWine {
  std::string name;
  double available_l = 0;                     // at most
  double least_l = 0;                         // at least
  double cost_per_l = 0;                      // in any one unit; 0: does not count
  std::vector<std::optional<double>> values;  // one for each goal, in its order
};

// A concentration to reach or to stay within; any of the three may be missing.
struct BlendGoal {
  std::string name;  // "alcohol"
  std::string unit;  // "% vol"
  int decimals = 1;
  std::optional<double> target;
  std::optional<double> low;
  std::optional<double> high;
  double scale = 1;  // a miss of that much counts as one: 0.1 % vol like 0.1 g/L, unless said
};

enum class BlendAim {
  kClosest,    // bounds hold; the sum of misses of targets is the least; then the cost
  kLeastCost,  // bounds and targets hold; the cost is the least
};

struct BlendAsked {
  double volume_l = 0;  // of the blend
  std::vector<BlendWine> wines;
  std::vector<BlendGoal> goals;
  BlendAim aim = BlendAim::kClosest;
};

struct BlendFound {
  std::vector<double> volumes_l;  // one for each wine
  std::vector<double> values;     // one for each goal
  double cost = 0;
  double miss = 0;  // sum of |value - target| / scale
};

// The mean weighted by volume. Volumes from 0, not all 0.
absl::StatusOr<double> BlendMean(absl::Span<const double> volumes_l,
                                 absl::Span<const double> values);

// The same of alcohol, by mass, so that shrinkage is counted: % vol, and the volume there is then.
struct BlendAlcohol {
  double alcohol_pct = 0;
  double volume_l = 0;
};
absl::StatusOr<BlendAlcohol> BlendAlcoholByMass(absl::Span<const double> volumes_l,
                                                absl::Span<const double> alcohol_pct);

// InvalidArgument for a question that makes no sense, such as a wine without a reading that a goal
// needs. FailedPrecondition if no blend fulfils it: the text names bounds of which none can be
// dropped without loss (all of them together cannot hold; without any one they could), and how far
// the goals among them could be brought.
absl::StatusOr<BlendFound> SolveBlend(const BlendAsked& asked);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_BLEND_H_
