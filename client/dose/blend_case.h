#ifndef RUNDLET_CLIENT_DOSE_BLEND_CASE_H_
#define RUNDLET_CLIENT_DOSE_BLEND_CASE_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cli/planner.h"
#include "core/oenology/blend.h"
#include "core/oenology/topping.h"

namespace rundlet::client {

// What a blend is asked for, as written: "12.5%" is a target; "12..13", "..13" and "12.." are
// bounds. Empty: nothing is asked of it.
struct BlendWords {
  std::string alcohol, acidity, sugar, total_so2;
};

// The goals of the words, in a fixed order.
absl::StatusOr<std::vector<oenology::BlendGoal>> GoalsOf(const BlendWords& words);

// A wine that can go into the blend, with what its readings give for each goal that the words ask
// for. FailedPrecondition names a reading that is missing or overtaken.
absl::StatusOr<oenology::BlendWine> WineFor(const Planner& planner, const VesselAmount& vessel,
                                            const BlendWords& words);

// The wine in a vessel as topping sees it.
oenology::ToppingWine ToppingWineIn(const Planner& planner, Handle vessel);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_BLEND_CASE_H_
