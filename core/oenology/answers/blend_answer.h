#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_BLEND_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_BLEND_ANSWER_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/blend.h"
#include "core/oenology/topping.h"

namespace rundlet::oenology {

// A goal of that name, in % vol, is given by mass as well.
inline constexpr absl::string_view kAlcoholGoal = "alcohol";

// What a blend of these volumes has: `wines` with `available_l` as the volume that goes in, `goals`
// for names and units (targets and bounds are held against it). A reading that is missing leaves
// its figure out, with a warning.
absl::StatusOr<Answer> AnswerBlendValues(const std::vector<BlendWine>& wines,
                                         const std::vector<BlendGoal>& goals);

// Which volumes do what is asked: one figure for each wine that goes in, then the values.
absl::StatusOr<Answer> AnswerBlend(const BlendAsked& asked);
// The same of what SolveBlend found for it.
absl::StatusOr<Answer> AnswerBlend(const BlendAsked& asked, const BlendFound& found);

// How much is missing to the brim, and which wines would serve: the best five, in order, as
// figures of the volume to take (all that is missing, or what there is). A wine that is likely to
// ferment still is never filled to the brim, and never filled up with: that is said.
absl::StatusOr<Answer> AnswerTopping(double capacity_l, const ToppingWine& wine,
                                     const std::vector<ToppingWine>& candidates);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_BLEND_ANSWER_H_
