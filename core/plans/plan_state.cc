#include "core/plans/plan_state.h"

#include <algorithm>

#include "core/plans/plan_walk.h"
#include "core/quantity/rate.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::plans {
namespace {

// What a dose makes of the wine in a vessel; nothing where that is more than a vessel can take, or
// too little to be weighed.
std::optional<Amount> DoseFor(const v1::StepDose& dose, int64_t volume_ul) {
  if (dose.base() == 0) return std::nullopt;  // as much as it needs: a person works it out
  v1::Amount wire;
  wire.set_dimension(dose.dimension());
  wire.set_base(dose.base());
  const Amount amount = FromWire(wire);
  if (dose.per_ul() == 0) return amount;
  const Rate rate{.dimension = amount.dimension, .num = dose.base(), .den = dose.per_ul()};
  const auto worked = rate.Times(volume_ul);
  if (!worked.ok()) return std::nullopt;
  return *worked;
}

class StateMaker {
 public:
  StateMaker(const Fold& fold, PlanWalk& walk, int64_t now_us)
      : fold_(fold), walk_(walk), now_us_(now_us) {}

  PlanState Make(const PlanWork& work) {
    const Row& row = fold_.sequence().row(work.row);
    PlanState plan{.row = work.row,
                   .name = work.plan->name(),
                   .template_name = work.plan->template_name(),
                   .lot = work.lot,
                   .started_at_us = row.effective_at_us,
                   .utc_offset_min = row.utc_offset_min,
                   .vessels = VesselsHolding(fold_, work.lot),
                   .ended_by = work.ended_by};
    if (const auto id = Uuid::FromBytes(work.plan->plan_id()); id.ok()) plan.plan_id = *id;
    if (work.ended_by != kNone) {
      plan.ended_at_us = fold_.sequence().row(work.ended_by).effective_at_us;
      plan.end_reason = fold_.records().Find(work.ended_by)->plan_ended().reason();
    }
    std::vector<int64_t> over_at_us;  // of each step, where it is not over by a guess
    for (const StepWork& step : work.steps) {
      plan.steps.push_back(MakeStep(work, step, plan, over_at_us));
      const StepState& made = plan.steps.back();
      over_at_us.push_back(step.over() ? step.over_at_us : std::max(made.due_at_us, now_us_));
    }
    return plan;
  }

 private:
  StepState MakeStep(const PlanWork& work, const StepWork& step, const PlanState& plan,
                     const std::vector<int64_t>& over_at_us) {
    StepState state{.step = *step.step,
                    .by = step.by,
                    .over_at_us = step.over_at_us,
                    .by_itself = step.by_itself,
                    .reason = step.reason};
    if (step.over()) {
      state.status = step.done ? StepStatus::kDone : StepStatus::kSkipped;
      return state;
    }
    const int64_t from_us =
        step.after < 0 ? plan.started_at_us : over_at_us[static_cast<size_t>(step.after)];
    state.due_at_us = from_us + (step.step->after_hours() + step.shift_hours) * kHourUs;
    state.blocks = InOrder(BlocksOf(*step.step, walk_.readings(work.lot), Holding(plan)), plan);
    for (const Handle vessel : plan.vessels) {
      const auto begun = step.progress.find(vessel);
      for (int i = 0; i < step.step->doses_size(); ++i) {
        if (begun != step.progress.end() && begun->second.contains(i)) continue;
        const v1::StepDose& dose = step.step->doses(i);
        if (dose.base() == 0) state.as_needed.push_back({vessel, dose.material()});
        if (const auto amount = DoseFor(dose, fold_.state().holding(vessel).volume_ul))
          state.doses.push_back({vessel, dose.material(), *amount});
      }
      if (begun != step.progress.end()) state.done_in.push_back(vessel);
    }
    if (!work.DueAt(step, plan.started_at_us).has_value()) {
      state.status = StepStatus::kLater;
    } else if (state.due_at_us > now_us_) {
      state.status = StepStatus::kWaiting;
    } else if (!state.blocks.empty()) {
      state.status = StepStatus::kBlocked;
    } else {
      state.status = StepStatus::kDue;
      state.due_since_us = std::max(state.due_at_us, step.open_since_us.value_or(state.due_at_us));
    }
    return state;
  }

  static std::set<Handle> Holding(const PlanState& plan) {
    return std::set<Handle>(plan.vessels.begin(), plan.vessels.end());
  }

  // Handles are numbered by arrival, names are not.
  static std::vector<GateBlock> InOrder(std::vector<GateBlock> blocks, const PlanState& plan) {
    const auto place = [&](const GateBlock& block) {
      return std::find(plan.vessels.begin(), plan.vessels.end(), block.vessel);
    };
    std::stable_sort(blocks.begin(), blocks.end(),
                     [&](const GateBlock& a, const GateBlock& b) { return place(a) < place(b); });
    return blocks;
  }

  const Fold& fold_;
  PlanWalk& walk_;
  const int64_t now_us_;
};

}  // namespace

bool PlanState::finished() const {
  return std::all_of(steps.begin(), steps.end(), [](const StepState& step) {
    return step.status == StepStatus::kDone || step.status == StepStatus::kSkipped;
  });
}

const StepState* PlanState::Find(absl::string_view key) const {
  for (const StepState& step : steps) {
    if (step.step.key() == key) return &step;
  }
  return nullptr;
}

std::vector<PlanState> PlansOf(const Fold& fold, int64_t now_us) {
  PlanWalk walk(fold);
  walk.Run();
  std::vector<PlanState> states;
  StateMaker maker(fold, walk, now_us);
  for (const PlanWork& work : walk.plans()) states.push_back(maker.Make(work));
  return states;
}

}  // namespace rundlet::plans
