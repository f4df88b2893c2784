// rundlet plan done, skip, shift, end: what a person says of a plan.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/plan_words.h"
#include "core/plans/plan_words.h"

namespace rundlet::client {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

// A command about one plan, which must be running.
class PlanCommand : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) final {
    const int64_t at_us = planner.now().at_us;
    const std::vector<PlanState> now = plans::PlansOf(planner.fold(), at_us);
    const auto found = FindPlan(planner.fold(), now, plan_);
    if (!found.ok()) return found.status();
    // As it was where the entry will be filed, and without the one in whose place it stands; a plan
    // that began after that is taken as it is now.
    const std::vector<PlanState> then = plans::PlansOf(planner.moment().fold(), at_us);
    const auto it = std::find_if(then.begin(), then.end(), [&](const PlanState& plan) {
      return plan.plan_id == (*found)->plan_id;
    });
    const PlanState& plan = it == then.end() ? **found : *it;
    if (!plan.running()) {
      return absl::FailedPreconditionError(
          absl::StrCat("the plan '", plan.name, "' is ", plan.ended() ? "ended" : "finished",
                       " already. To undo that, void the entry: rundlet log shows it"));
    }
    return MakeFor(plan, change);
  }

 protected:
  void DeclareWords(CLI::App& app) final {
    app.add_option("plan", plan_, "the plan, or a lot that has one plan alone")
        ->type_name("PLAN")
        ->required();
    DeclareMore(app);
  }
  virtual void DeclareMore(CLI::App& app) = 0;
  virtual absl::Status MakeFor(const PlanState& plan, Change& change) = 0;

 private:
  std::string plan_;
};

// One about a step, which must not be over.
class StepCommand : public PlanCommand {
 protected:
  void DeclareMore(CLI::App& app) override {
    app.add_option("step", key_, "the step, by the word in front of it in rundlet plan show")
        ->type_name("STEP")
        ->required();
  }
  absl::Status MakeFor(const PlanState& plan, Change& change) final {
    const auto step = FindStep(plan, key_);
    if (!step.ok()) return step.status();
    if ((*step)->by != kNone) {
      return absl::FailedPreconditionError(
          absl::StrCat("the step '", key_, "' is ", StatusWord((*step)->status), " already"));
    }
    return MakeForStep(plan, **step, change);
  }
  virtual absl::Status MakeForStep(const PlanState& plan, const StepState& step,
                                   Change& change) = 0;

 private:
  std::string key_;
};

class PlanDone : public StepCommand {
 protected:
  absl::Status MakeForStep(const PlanState& plan, const StepState& step, Change& change) override {
    if (step.status == StepStatus::kLater) {
      change.warnings.push_back(
          absl::StrCat("the step before it, '", step.step.after_key(), "', is not done yet"));
    }
    for (const plans::GateBlock& block : step.blocks)
      change.warnings.push_back(absl::StrCat("the plan wanted ", block.text));
    v1::PlanStepDone& done = *change.Add().mutable_plan_step_done();
    done.set_plan_id(plan.plan_id.ToBytes());
    done.set_key(step.step.key());
    return absl::OkStatus();
  }
};

class PlanSkip : public StepCommand {
 protected:
  void DeclareMore(CLI::App& app) override {
    StepCommand::DeclareMore(app);
    app.add_option("--reason", reason_, "why it is left out")->required();
  }
  absl::Status MakeForStep(const PlanState& plan, const StepState& step, Change& change) override {
    if (reason_.empty()) return Usage("--reason: say why it is left out");
    v1::PlanStepSkipped& skipped = *change.Add().mutable_plan_step_skipped();
    skipped.set_plan_id(plan.plan_id.ToBytes());
    skipped.set_key(step.step.key());
    skipped.set_reason(reason_);
    return absl::OkStatus();
  }

 private:
  std::string reason_;
};

class PlanShift : public StepCommand {
 protected:
  void DeclareMore(CLI::App& app) override {
    StepCommand::DeclareMore(app);
    app.add_option("--later", later_, "by how much: 2days, 36h, 1week")->type_name("DURATION");
    app.add_option("--earlier", earlier_, "by how much")->type_name("DURATION");
  }
  absl::Status MakeForStep(const PlanState& plan, const StepState& step, Change& change) override {
    if (later_.empty() == earlier_.empty())
      return Usage("by how much? Write --later 2days, or --earlier 1day");
    const auto hours = plans::ParseWait(later_.empty() ? earlier_ : later_);
    if (!hours.ok()) {
      return Usage(
          absl::StrCat(later_.empty() ? "--earlier: " : "--later: ", hours.status().message()));
    }
    if (*hours == 0) return Usage("nothing is moved by that: write --later 2days");
    v1::PlanShifted& shifted = *change.Add().mutable_plan_shifted();
    shifted.set_plan_id(plan.plan_id.ToBytes());
    shifted.set_key(step.step.key());
    shifted.set_hours(later_.empty() ? -*hours : *hours);
    return absl::OkStatus();
  }

 private:
  std::string later_, earlier_;
};

class PlanEnd : public PlanCommand {
 protected:
  void DeclareMore(CLI::App& app) override {
    app.add_option("--reason", reason_, "why it ends before its last step")->check(NotEmpty());
  }
  absl::Status MakeFor(const PlanState& plan, Change& change) override {
    v1::PlanEnded& ended = *change.Add().mutable_plan_ended();
    ended.set_plan_id(plan.plan_id.ToBytes());
    ended.set_reason(reason_);
    return absl::OkStatus();
  }

 private:
  std::string reason_;
};

}  // namespace

std::unique_ptr<Command> MakePlanDone() { return std::make_unique<PlanDone>(); }
std::unique_ptr<Command> MakePlanSkip() { return std::make_unique<PlanSkip>(); }
std::unique_ptr<Command> MakePlanShift() { return std::make_unique<PlanShift>(); }
std::unique_ptr<Command> MakePlanEnd() { return std::make_unique<PlanEnd>(); }

}  // namespace rundlet::client
