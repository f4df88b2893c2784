#ifndef RUNDLET_CLIENT_COMMANDS_PLAN_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_PLAN_WORDS_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "core/plans/plan_state.h"

namespace rundlet::client {

// What the commands about plans have in common.

// The plan that a person means: by its name, or that of a lot which has one running plan, or the
// beginning of its id; running plans first. NotFound: the text lists what is there.
// FailedPrecondition: several answer to it.
absl::StatusOr<const plans::PlanState*> FindPlan(const Fold& fold,
                                                 const std::vector<plans::PlanState>& plans,
                                                 absl::string_view word);
// A step by its key; NotFound lists the keys.
absl::StatusOr<const plans::StepState*> FindStep(const plans::PlanState& plan,
                                                 absl::string_view key);

// A word as a shell takes it: in quotes where it must be.
std::string ShellWord(absl::string_view word);

// "due", "waiting", "done" ...
absl::string_view StatusWord(plans::StepStatus status);

// The command that does the step, with capitals for what a person must fill in; that which takes
// the reading that a gate waits for; both "" where no vessel holds the wine.
std::string CommandOf(const Fold& fold, const plans::PlanState& plan, const plans::StepState& step);
std::string CommandOf(const Fold& fold, const plans::GateBlock& block);

// "C1, C2".
std::string VesselNames(const Fold& fold, const std::vector<Handle>& vessels);
// "C1: 5 g white wine yeast".
std::string DoseText(const Fold& fold, const plans::DoseNow& dose);

std::string JsonOfStep(const Fold& fold, const plans::PlanState& plan,
                       const plans::StepState& step);
// With all its steps, or without.
std::string JsonOfPlan(const Fold& fold, const plans::PlanState& plan, bool with_steps);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_PLAN_WORDS_H_
