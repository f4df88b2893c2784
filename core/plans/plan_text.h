#ifndef RUNDLET_CORE_PLANS_PLAN_TEXT_H_
#define RUNDLET_CORE_PLANS_PLAN_TEXT_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

// Plans as text files that a cellar hand writes, keeps and shares: a line a thing. docs/plans.md is
// the page for their writers.
//
//   # Anything behind a "#" at the beginning of a line is for the reader of the file.
//   plan: White from juice
//
//   step pitch: Stir the yeast in
//     done by: add
//     dose: white wine yeast = 0.25 g/L
//     mind: At about 20 C.
//
//   step rack-1: Rack off the lees
//     when: 14 days after pitch
//     needs: density at most 0.998 SG, 2 readings 2 days apart
//     done by: rack
//     who: Maud Ferrier
//
// `when` left out means after the step before it, and of the first step from the start. Of `dose`,
// `needs` and `mind` there may be several; the lines of `mind` stay lines. Spaces at the front,
// empty lines and the case of the words before the colon do not count.

// The name and the steps of a plan. InvalidArgument with a sentence for each line that is wrong,
// "line 7: ...", and what to write instead; at most ten of them.
absl::StatusOr<v1::PlanStarted> ParsePlan(absl::string_view text);

// The text of a plan: ParsePlan() of it gives the same name and steps, if they came from ParsePlan.
std::string PrintPlan(const v1::PlanStarted& plan);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_TEXT_H_
