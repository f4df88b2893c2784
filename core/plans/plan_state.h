#ifndef RUNDLET_CORE_PLANS_PLAN_STATE_H_
#define RUNDLET_CORE_PLANS_PLAN_STATE_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/fold/fold.h"
#include "core/plans/plan_gate.h"
#include "core/quantity/amount.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

// How far the plans of a cellar have come.
//
// A step is done when somebody says so, or by the entry that fulfils it:
// - of the step's kind, on the wine of the plan's lot: for a treatment of its kind (or any, where
//   the step names none); for an addition of the materials that the step names, which may come in
//   several entries; a step that is done by a reading and has gates, by the reading that opens them
//   all;
// - after the step that it counts from, not more than a day before it is due, and with its gates
//   open (what is done against the plan is for a person to say);
// - where the lot is in several vessels, once it was done in each that holds it afterwards. Wine
//   that moves into an empty vessel takes with it what was done to it.
// An entry fulfils one step of a plan at most, the first that waits for it; an addition one step
// for each material. What was sanitised counts if it is a vessel that was empty or held the lot.
//
// A step that was left out is over from then on, as if it were done. All follows from the set of
// entries that count, and so is the same on every device that holds the same set.

enum class StepStatus {
  kDone,
  kSkipped,
  kDue,      // since `due_since_us`
  kBlocked,  // its time has come, its gates are closed
  kWaiting,  // until `due_at_us`
  kLater,    // after a step that is not done; `due_at_us` is a guess
};

struct DoseNow {
  Handle vessel = kNoHandle;
  std::string material;
  Amount amount;
};

struct DoseAsNeeded {
  Handle vessel = kNoHandle;
  std::string material;
};

struct StepState {
  v1::PlanStep step;
  StepStatus status = StepStatus::kLater;
  // Done or skipped: the entry that made it so, and when that was.
  RowId by = kNone;
  int64_t over_at_us = 0;
  bool by_itself = false;  // by an entry that fulfils it
  std::string reason;      // why it was skipped
  // Of the others: the time before which it is not due, by the plan and what was shifted. For
  // kLater on the guess that what comes before is done as soon as it can be.
  int64_t due_at_us = 0;
  int64_t due_since_us = 0;       // kDue: when its time had come and its gates were open
  std::vector<GateBlock> blocks;  // what is closed now, also while it waits
  // Additions that are still to be made, by vessel: for what they hold now; and those of which the
  // day decides how much.
  std::vector<DoseNow> doses;
  std::vector<DoseAsNeeded> as_needed;
  std::vector<Handle> done_in;  // vessels in which it is done or begun, where others are left
};

struct PlanState {
  Uuid plan_id;
  RowId row = kNone;  // the entry that started it
  std::string name, template_name;
  Handle lot = kNoHandle;
  int64_t started_at_us = 0;
  int32_t utc_offset_min = 0;
  std::vector<Handle> vessels;  // that hold the lot now, by name
  std::vector<StepState> steps;
  RowId ended_by = kNone;
  int64_t ended_at_us = 0;
  std::string end_reason;

  bool ended() const { return ended_by != kNone; }
  bool finished() const;  // every step is done or skipped
  bool running() const { return !ended() && !finished(); }
  // The step of a key; nullptr if there is none.
  const StepState* Find(absl::string_view key) const;
};

// All plans that were started, in the order in which they were. Cost: one pass over the entries,
// if there are any plans at all.
std::vector<PlanState> PlansOf(const Fold& fold, int64_t now_us);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_STATE_H_
