#ifndef RUNDLET_CORE_PLANS_PLAN_WALK_H_
#define RUNDLET_CORE_PLANS_PLAN_WALK_H_

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "core/fold/fold.h"
#include "core/plans/plan_deed.h"
#include "core/plans/plan_gate.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

inline constexpr int64_t kHourUs = int64_t{3600} * 1'000'000;

// A step on its way through the entries.
struct StepWork {
  const v1::PlanStep* step = nullptr;
  int after = -1;  // the step that it counts from; -1: the plan's start
  bool done = false, skipped = false, by_itself = false;
  RowId by = kNone;
  int64_t over_at_us = 0;
  std::string reason;
  int64_t shift_hours = 0;
  std::optional<int64_t> open_since_us;  // since when its gates are open
  // What is done of it, by vessel: the numbers of its doses, or 0 for the whole of it.
  std::map<Handle, std::set<int>> progress;

  bool over() const { return done || skipped; }
};

struct PlanWork {
  RowId row = kNone;
  const v1::PlanStarted* plan = nullptr;
  Handle lot = kNoHandle;
  std::vector<StepWork> steps;
  RowId ended_by = kNone;

  // The time before which the step is not due; nothing while the step before it is not over.
  std::optional<int64_t> DueAt(const StepWork& step, int64_t started_at_us) const;
};

// Goes through the entries of a fold once, in order, and has each plan take what concerns it.
class PlanWalk {
 public:
  explicit PlanWalk(const Fold& fold) : fold_(fold) {}

  void Run();

  const std::vector<PlanWork>& plans() const { return plans_; }
  const std::vector<WineReading>& readings(Handle lot) { return readings_[lot]; }
  const std::set<Handle>& holding(Handle lot) { return holding_[lot]; }

 private:
  void FindPlans();
  void Take(size_t position, const Row& row);
  void TakeRecord(RowId id, const Row& row, const v1::Entry& record);
  StepWork* FindStep(const std::string& plan_id, const std::string& key);
  // The lot in a vessel at the place in the order; kNoHandle for an empty one.
  Handle LotIn(Handle vessel) const;
  // Of the lots that have plans and that the entry concerns, the vessels that held them before it.
  using Holdings = std::map<Handle, std::set<Handle>>;
  Holdings ConcernedBy(size_t position, const Deed& deed) const;
  // Moves wine as the entry did; returns the vessels that had been empty and were filled from one
  // place alone, and that.
  std::map<Handle, Handle> MoveWine(size_t position);
  void TakeReadings(RowId id, const Row& row);
  static void CarryProgress(StepWork& step, const std::map<Handle, Handle>& moved);
  void Fulfil(PlanWork& plan, size_t position, const Row& row, Deed deed,
              const std::set<Handle>& before);
  void CloseReadSteps(PlanWork& plan, int64_t at_us);
  // Whether the entry is of the step's kind and about its wine, and in which vessels.
  bool Counts(const PlanWork& plan, const StepWork& step, const Deed& deed,
              const std::set<Handle>& before, std::set<Handle>& vessels) const;
  void MarkWhole(PlanWork& plan, StepWork& step, size_t position, const std::set<Handle>& vessels);
  bool MarkMaterials(StepWork& step, Deed& deed, const std::set<Handle>& vessels) const;
  bool IsComplete(const PlanWork& plan, const StepWork& step) const;
  void WatchGates(PlanWork& plan, int64_t at_us);

  const Fold& fold_;
  std::vector<PlanWork> plans_;
  std::map<std::string, size_t> by_id_;
  // What the vessels hold at the place in the order.
  absl::flat_hash_map<Handle, int64_t> volumes_ul_;
  absl::flat_hash_map<Handle, Handle> lots_;
  // Of lots that have plans.
  Holdings holding_;
  std::map<Handle, std::vector<WineReading>> readings_;
};

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_WALK_H_
