#include "client/commands/plan_words.h"

#include "absl/algorithm/container.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_replace.h"
#include "client/cli/near.h"
#include "core/plans/plan_deed.h"
#include "core/plans/plan_words.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

constexpr size_t kShortestId = 4;

template <typename Fits>
std::vector<const PlanState*> Those(const std::vector<PlanState>& plans, Fits fits) {
  std::vector<const PlanState*> found;
  for (const PlanState& plan : plans) {
    if (fits(plan)) found.push_back(&plan);
  }
  return found;
}

absl::Status NoSuchPlan(const std::vector<PlanState>& plans, absl::string_view word) {
  std::vector<std::string> names;
  for (const PlanState& plan : plans) names.push_back(absl::StrCat("'", plan.name, "'"));
  if (names.empty()) {
    return absl::NotFoundError(
        "there are no plans yet. Begin one: rundlet plan start LOT --from TEMPLATE; the templates: "
        "rundlet plan templates");
  }
  return absl::NotFoundError(absl::StrCat("no plan is called '", word,
                                          "', and no lot of that name ", "has one: there is ",
                                          Enumerate(names, ", ", " and ")));
}

}  // namespace

absl::StatusOr<const PlanState*> FindPlan(const Fold& fold, const std::vector<PlanState>& plans,
                                          absl::string_view word) {
  const auto called = [&](const PlanState& plan) {
    return absl::EqualsIgnoreCase(plan.name, word);
  };
  const auto of_lot = [&](const PlanState& plan) {
    return absl::EqualsIgnoreCase(NameOf(fold, plan.lot), word);
  };
  const auto of_id = [&](const PlanState& plan) {
    return word.size() >= kShortestId && absl::StartsWith(plan.plan_id.ToString(), word);
  };
  for (const bool running : {true, false}) {
    for (const auto& found :
         {Those(plans, [&](const PlanState& p) { return p.running() == running && called(p); }),
          Those(plans, [&](const PlanState& p) { return p.running() == running && of_lot(p); }),
          Those(plans, [&](const PlanState& p) { return p.running() == running && of_id(p); })}) {
      if (found.size() == 1) return found[0];
      if (found.empty()) continue;
      std::vector<std::string> ways;
      for (const PlanState* plan : found)
        ways.push_back(absl::StrCat("'", plan->name, "' (", plan->plan_id.ToString(), ")"));
      return absl::FailedPreconditionError(absl::StrCat(
          "several plans answer to '", word, "': write the name or the id of ", Enumerate(ways)));
    }
  }
  return NoSuchPlan(plans, word);
}

absl::StatusOr<const StepState*> FindStep(const PlanState& plan, absl::string_view key) {
  if (const StepState* step = plan.Find(key); step != nullptr) return step;
  std::vector<std::string> keys;
  for (const StepState& step : plan.steps) keys.push_back(step.step.key());
  return absl::NotFoundError(
      absl::StrCat("the plan '", plan.name, "' has no step '", key, "': write ", Enumerate(keys)));
}

std::string ShellWord(absl::string_view word) {
  const bool plain = !word.empty() && word.find_first_not_of(
                                          "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                          "0123456789-_.,:/+=@%") == absl::string_view::npos;
  if (plain) return std::string(word);
  return absl::StrCat(
      "\"", absl::StrReplaceAll(word, {{"\\", "\\\\"}, {"\"", "\\\""}, {"$", "\\$"}, {"`", "\\`"}}),
      "\"");
}

absl::string_view StatusWord(StepStatus status) {
  switch (status) {
    case StepStatus::kDone:
      return "done";
    case StepStatus::kSkipped:
      return "skipped";
    case StepStatus::kDue:
      return "due";
    case StepStatus::kBlocked:
      return "blocked";
    case StepStatus::kWaiting:
      return "waiting";
    case StepStatus::kLater:
      return "later";
  }
  return "";
}

// The name of the one material that a plan means by a word; the word itself where it may be
// several.
std::string MaterialWord(const Fold& fold, const std::string& word) {
  const std::vector<Handle> meant = plans::MaterialsMeant(fold, word);
  return ShellWord(meant.size() == 1 ? NameOf(fold, meant.front()) : word);
}

// What is left of the step in the first vessel in which something is.
std::string AddCommand(const Fold& fold, const PlanState& plan, const StepState& step) {
  for (const Handle vessel : plan.vessels) {
    std::string lines;
    for (const plans::DoseNow& dose : step.doses) {
      if (dose.vessel == vessel)
        absl::StrAppend(&lines, " ", MaterialWord(fold, dose.material), " ",
                        absl::StrReplaceAll(FormatAmountExact(dose.amount), {{" ", ""}}));
    }
    for (const plans::DoseAsNeeded& dose : step.as_needed) {
      if (dose.vessel == vessel)
        absl::StrAppend(&lines, " ", MaterialWord(fold, dose.material), " AMOUNT");
    }
    if (!lines.empty()) return absl::StrCat("rundlet add ", ShellWord(NameOf(fold, vessel)), lines);
  }
  return "";
}

std::string CommandOf(const Fold& fold, const PlanState& plan, const StepState& step) {
  const v1::StepAct act = step.step.act();
  if (act == v1::STEP_ACT_UNSPECIFIED) {
    return absl::StrCat("rundlet plan done ", ShellWord(plan.name), " ",
                        ShellWord(step.step.key()));
  }
  if (act == v1::STEP_ACT_RECEIVE) {
    return absl::StrCat("rundlet receive juice AMOUNT --into VESSEL --lot ",
                        ShellWord(NameOf(fold, plan.lot)));
  }
  if (act == v1::STEP_ACT_SANITISE) return "rundlet sanitise VESSEL --with AGENT";
  // The first vessel in which it is still to be done.
  Handle vessel = kNoHandle;
  for (const Handle each : plan.vessels) {
    if (vessel == kNoHandle && !absl::c_linear_search(step.done_in, each)) vessel = each;
  }
  if (vessel == kNoHandle && !plan.vessels.empty()) vessel = plan.vessels.front();
  if (vessel == kNoHandle) return "";
  const std::string name = ShellWord(NameOf(fold, vessel));
  switch (act) {
    case v1::STEP_ACT_ADD:
      return step.step.doses().empty() ? absl::StrCat("rundlet add ", name, " MATERIAL AMOUNT")
                                       : AddCommand(fold, plan, step);
    case v1::STEP_ACT_RACK:
      return absl::StrCat("rundlet rack ", name, " VESSEL --lees AMOUNT");
    case v1::STEP_ACT_TOP:
      return absl::StrCat("rundlet top ", name, " --from VESSEL=AMOUNT");
    case v1::STEP_ACT_BLEND:
      return absl::StrCat("rundlet blend --from ", name,
                          "=AMOUNT --from VESSEL=AMOUNT --to VESSEL");
    case v1::STEP_ACT_PRESS:
      return absl::StrCat("rundlet press ", name, " --to VESSEL=AMOUNT --pomace rest");
    case v1::STEP_ACT_READ:
      return absl::StrCat("rundlet read ", name, " density=VALUE");
    case v1::STEP_ACT_OBSERVE:
      return absl::StrCat("rundlet note ", name, " WORDS");
    case v1::STEP_ACT_BOTTLE:
      return absl::StrCat("rundlet bottle ", name, " --size 750mL --count NUMBER --bin BIN");
    default: {
      const std::string word = plans::ActWord(act, step.step.treatment());
      const size_t space = word.find(' ');
      return absl::StrCat("rundlet treat ", name, " ",
                          space == std::string::npos ? "TREATMENT" : word.substr(space + 1));
    }
  }
}

std::string CommandOf(const Fold& fold, const plans::GateBlock& block) {
  if (block.vessel == kNoHandle) return "";
  return absl::StrCat("rundlet read ", ShellWord(NameOf(fold, block.vessel)), " ",
                      plans::ReadingCommandWord(block.kind), "=VALUE");
}

std::string VesselNames(const Fold& fold, const std::vector<Handle>& vessels) {
  return absl::StrJoin(vessels, ", ", [&](std::string* out, Handle vessel) {
    absl::StrAppend(out, NameOf(fold, vessel));
  });
}

std::string DoseText(const Fold& fold, const plans::DoseNow& dose) {
  return absl::StrCat(NameOf(fold, dose.vessel), ": ", FormatAmount(dose.amount), " ",
                      dose.material);
}

}  // namespace rundlet::client
