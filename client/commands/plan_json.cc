// Plans and their steps as JSON.
#include "client/cli/json.h"
#include "client/commands/plan_words.h"
#include "core/plans/plan_words.h"
#include "core/quantity/format.h"
#include "core/quantity/when.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

std::string Iso(int64_t at_us, const PlanState& plan) {
  return FormatWhenIso({.at_us = at_us, .utc_offset_min = plan.utc_offset_min});
}

std::vector<std::string> Names(const Fold& fold, const std::vector<Handle>& vessels) {
  std::vector<std::string> names;
  for (const Handle vessel : vessels) names.push_back(NameOf(fold, vessel));
  return names;
}

std::string JsonOfBlocks(const Fold& fold, const PlanState& plan, const StepState& step) {
  std::vector<std::string> items;
  for (const plans::GateBlock& block : step.blocks) {
    JsonObject json;
    json.Text("vessel", block.vessel == kNoHandle ? "" : NameOf(fold, block.vessel))
        .Text("needs", block.text)
        .Text("command", CommandOf(fold, block));
    if (block.not_before_us != 0) json.Text("not_before", Iso(block.not_before_us, plan));
    items.push_back(json.Finish());
  }
  return JsonArray(items);
}

std::string JsonOfDoses(const Fold& fold, const StepState& step) {
  std::vector<std::string> items;
  for (const plans::DoseNow& dose : step.doses) {
    items.push_back(JsonObject()
                        .Text("vessel", NameOf(fold, dose.vessel))
                        .Text("material", dose.material)
                        .Text("amount", FormatAmountExact(dose.amount))
                        .Finish());
  }
  return JsonArray(items);
}

}  // namespace

std::string JsonOfStep(const Fold& fold, const PlanState& plan, const StepState& step) {
  JsonObject json;
  json.Text("key", step.step.key())
      .Text("title", step.step.title())
      .Text("status", StatusWord(step.status))
      .Text("done_by", plans::ActWord(step.step.act(), step.step.treatment()))
      .Text("after", step.step.after_key())
      .Text("person", step.step.person())
      .Text("text", step.step.text());
  if (step.by != kNone) {
    return json.Text("over_at", Iso(step.over_at_us, plan))
        .Text("entry_id", fold.sequence().row(step.by).id.ToString())
        .Bool("by_itself", step.by_itself)
        .Text("reason", step.reason)
        .Finish();
  }
  json.Text("due_at", Iso(step.due_at_us, plan)).Bool("guess", step.status == StepStatus::kLater);
  if (step.status == StepStatus::kDue) json.Text("due_since", Iso(step.due_since_us, plan));
  return json.Raw("blocks", JsonOfBlocks(fold, plan, step))
      .Raw("doses", JsonOfDoses(fold, step))
      .Raw("done_in", JsonTexts(Names(fold, step.done_in)))
      .Text("command", CommandOf(fold, plan, step))
      .Finish();
}

std::string JsonOfPlan(const Fold& fold, const PlanState& plan, bool with_steps) {
  JsonObject json;
  json.Text("plan_id", plan.plan_id.ToString())
      .Text("name", plan.name)
      .Text("lot", NameOf(fold, plan.lot))
      .Raw("vessels", JsonTexts(Names(fold, plan.vessels)))
      .Text("template", plan.template_name)
      .Text("started_at", Iso(plan.started_at_us, plan))
      .Text("state", plan.ended()      ? "ended"
                     : plan.finished() ? "finished"
                                       : "running");
  if (plan.ended())
    json.Text("ended_at", Iso(plan.ended_at_us, plan)).Text("reason", plan.end_reason);
  if (with_steps) {
    std::vector<std::string> steps;
    for (const StepState& step : plan.steps) steps.push_back(JsonOfStep(fold, plan, step));
    json.Raw("steps", JsonArray(steps));
  }
  return json.Finish();
}

}  // namespace rundlet::client
