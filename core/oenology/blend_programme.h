#ifndef RUNDLET_CORE_OENOLOGY_BLEND_PROGRAMME_H_
#define RUNDLET_CORE_OENOLOGY_BLEND_PROGRAMME_H_

#include <string>
#include <vector>

#include "core/oenology/blend.h"
#include "core/oenology/lp.h"

// A blend as a linear programme. The parts of blend.cc that others need not see.
namespace rundlet::oenology::internal {

// One thing asked, which may be left out to see what then is possible.
struct BlendBound {
  enum class Kind { kAvailable, kLeast, kLow, kHigh, kTarget };
  Kind kind;
  int index;  // of the wine or the goal
};

// All that is asked: what must hold, the goals first. Targets are among it only where they must be
// met.
std::vector<BlendBound> BoundsOf(const BlendAsked& asked);
// "at most 40 L of Thistledown Red 2024", "alcohol at least 14.0 % vol".
std::string BoundText(const BlendAsked& asked, const BlendBound& bound);

// Columns: the share of each wine (0 to 1), which together are one; then for each goal with a
// target the miss below and above it, in units of its scale. Costs are all 0.
Lp BlendLp(const BlendAsked& asked, const std::vector<BlendBound>& bounds);
int MissColumn(const BlendAsked& asked, int goal);

// The refusal of a blend that is not possible (blend.h says what it tells).
absl::Status BlendInfeasible(const BlendAsked& asked);

}  // namespace rundlet::oenology::internal

#endif  // RUNDLET_CORE_OENOLOGY_BLEND_PROGRAMME_H_
