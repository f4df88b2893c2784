#include "core/plans/plan_walk.h"

#include <algorithm>

namespace rundlet::plans {
namespace {

constexpr int64_t kEarlyUs = 24 * kHourUs;  // by which an entry may come before its step is due

bool IsPlanRecord(uint8_t body) {
  return body >= v1::Entry::kPlanStartedFieldNumber && body <= v1::Entry::kPlanEndedFieldNumber;
}

// Once is enough, wherever the wine is.
bool IsOfTheWhole(v1::StepAct act) {
  return act == v1::STEP_ACT_RECEIVE || act == v1::STEP_ACT_SANITISE;
}

}  // namespace

std::optional<int64_t> PlanWork::DueAt(const StepWork& step, int64_t started_at_us) const {
  int64_t from_us = started_at_us;
  if (step.after >= 0) {
    const StepWork& before = steps[static_cast<size_t>(step.after)];
    if (!before.over()) return std::nullopt;
    from_us = before.over_at_us;
  }
  return from_us + (step.step->after_hours() + step.shift_hours) * kHourUs;
}

void PlanWalk::FindPlans() {
  const Sequence& order = fold_.sequence();
  std::vector<RowId> rows;
  for (const auto& [row, kept] : fold_.records().all()) {
    const size_t position = order.PositionOf(row);
    const bool counts =
        order.row(row).standing == Row::Standing::kCounts && fold_.HeldAt(position) == nullptr;
    if (kept.has_plan_started() && counts) rows.push_back(row);
  }
  std::sort(rows.begin(), rows.end(), [&](RowId a, RowId b) { return order.Before(a, b); });
  for (const RowId row : rows) {
    const v1::PlanStarted& plan = fold_.records().Find(row)->plan_started();
    if (!by_id_.emplace(plan.plan_id(), plans_.size()).second) continue;
    PlanWork& work = plans_.emplace_back();
    work.row = row;
    work.plan = &plan;
    if (const auto lot = Uuid::FromBytes(plan.lot_id()); lot.ok())
      work.lot = fold_.interner().Find(*lot);
    holding_[work.lot];
    std::map<std::string, int> numbers;
    for (const v1::PlanStep& step : plan.steps()) {
      StepWork& next = work.steps.emplace_back();
      next.step = &step;
      if (const auto it = numbers.find(step.after_key()); it != numbers.end())
        next.after = it->second;
      numbers.emplace(step.key(), static_cast<int>(numbers.size()));
    }
  }
}

void PlanWalk::Run() {
  FindPlans();
  if (plans_.empty()) return;
  const Sequence& order = fold_.sequence();
  const RowId stop = fold_.stopped_at();
  for (size_t position = 0; position < order.size(); ++position) {
    const RowId id = order.at(position);
    if (id == stop) break;  // from there on nothing is folded
    const Row& row = order.row(id);
    if (row.standing != Row::Standing::kCounts || fold_.HeldAt(position) != nullptr) continue;
    if (IsPlanRecord(row.body)) {
      if (const v1::Entry* record = fold_.records().Find(id); record != nullptr)
        TakeRecord(id, row, *record);
    } else {
      Take(position, row);
    }
  }
}

StepWork* PlanWalk::FindStep(const std::string& plan_id, const std::string& key) {
  const auto it = by_id_.find(plan_id);
  if (it == by_id_.end() || plans_[it->second].ended_by != kNone) return nullptr;
  for (StepWork& step : plans_[it->second].steps) {
    if (step.step->key() == key) return step.over() ? nullptr : &step;
  }
  return nullptr;
}

void PlanWalk::TakeRecord(RowId id, const Row& row, const v1::Entry& record) {
  const auto finish = [&](StepWork* step, bool skipped) {
    if (step == nullptr) return;
    step->done = !skipped;
    step->skipped = skipped;
    step->by = id;
    step->over_at_us = row.effective_at_us;
    if (skipped) step->reason = record.plan_step_skipped().reason();
  };
  switch (record.body_case()) {
    case v1::Entry::kPlanStepDone:
      return finish(FindStep(record.plan_step_done().plan_id(), record.plan_step_done().key()),
                    false);
    case v1::Entry::kPlanStepSkipped:
      return finish(
          FindStep(record.plan_step_skipped().plan_id(), record.plan_step_skipped().key()), true);
    case v1::Entry::kPlanShifted:
      if (StepWork* step = FindStep(record.plan_shifted().plan_id(), record.plan_shifted().key());
          step != nullptr) {
        step->shift_hours += record.plan_shifted().hours();
      }
      return;
    case v1::Entry::kPlanEnded:
      if (const auto it = by_id_.find(record.plan_ended().plan_id());
          it != by_id_.end() && plans_[it->second].ended_by == kNone) {
        plans_[it->second].ended_by = id;
      }
      return;
    default:
      return;
  }
}

Handle PlanWalk::LotIn(Handle vessel) const {
  const auto volume = volumes_ul_.find(vessel);
  if (volume == volumes_ul_.end() || volume->second == 0) return kNoHandle;
  const auto lot = lots_.find(vessel);
  return lot == lots_.end() ? kNoHandle : lot->second;
}

PlanWalk::Holdings PlanWalk::ConcernedBy(size_t position, const Deed& deed) const {
  if (deed.act == v1::STEP_ACT_SANITISE) return holding_;
  Holdings before;
  const auto concern = [&](Handle lot) {
    if (const auto it = holding_.find(lot); it != holding_.end()) before.insert(*it);
  };
  concern(deed.lot);
  for (const Handle thing : deed.things) {
    concern(thing);
    concern(LotIn(thing));
  }
  for (const Movement& m : fold_.MovementsAt(position)) {
    if (m.from.kind() == Place::Kind::kVessel) concern(LotIn(m.from.handle()));
    if (m.to.kind() != Place::Kind::kVessel) continue;
    concern(LotIn(m.to.handle()));
    if (m.to_parcel != kNone) concern(fold_.state().parcels()[m.to_parcel].lot);
  }
  return before;
}

std::map<Handle, Handle> PlanWalk::MoveWine(size_t position) {
  std::map<Handle, Handle> lots_before;  // of every vessel that takes part
  std::map<Handle, std::set<Handle>> sources;
  for (const Movement& m : fold_.MovementsAt(position)) {
    if (m.commodity != kWine) continue;
    const bool from_vessel = m.from.kind() == Place::Kind::kVessel;
    if (from_vessel) lots_before.emplace(m.from.handle(), LotIn(m.from.handle()));
    if (m.to.kind() == Place::Kind::kVessel) {
      const Handle to = m.to.handle();
      const bool first = lots_before.emplace(to, LotIn(to)).second;
      if (first && volumes_ul_[to] == 0) sources[to];
      if (sources.contains(to)) sources[to].insert(from_vessel ? m.from.handle() : kNoHandle);
      volumes_ul_[to] += m.amount;
      if (m.to_parcel != kNone) lots_[to] = fold_.state().parcels()[m.to_parcel].lot;
    }
    if (from_vessel) volumes_ul_[m.from.handle()] -= m.amount;
  }
  for (const auto& [vessel, lot_before] : lots_before) {
    if (const auto it = holding_.find(lot_before); it != holding_.end()) it->second.erase(vessel);
    if (const auto it = holding_.find(LotIn(vessel)); it != holding_.end())
      it->second.insert(vessel);
  }
  std::map<Handle, Handle> moved;
  for (const auto& [to, from] : sources) {
    if (from.size() == 1) moved[to] = *from.begin();
  }
  return moved;
}

void PlanWalk::TakeReadings(RowId id, const Row& row) {
  const absl::Span<const Line> lines = fold_.sequence().lines(row);
  const Line* vessel = FindLine(lines, Role::kVessel);
  if (vessel == nullptr) return;
  const auto holding = holding_.find(LotIn(vessel->handle));
  if (holding == holding_.end()) return;
  for (const Line& line : lines) {
    if (line.role != Role::kMeasure) continue;
    readings_[holding->first].push_back({.kind = static_cast<v1::ReadingKind>(line.handle),
                                         .unit = static_cast<v1::ReadingUnit>(line.other),
                                         .value_micro = line.amount,
                                         .vessel = vessel->handle,
                                         .row = id,
                                         .at_us = row.effective_at_us,
                                         .utc_offset_min = row.utc_offset_min});
  }
}

void PlanWalk::Take(size_t position, const Row& row) {
  const RowId id = fold_.sequence().at(position);
  const Deed deed = DeedOf(fold_, row);
  const Holdings before = ConcernedBy(position, deed);
  const std::map<Handle, Handle> moved = MoveWine(position);
  if (before.empty()) return;
  if (deed.act == v1::STEP_ACT_READ) TakeReadings(id, row);
  for (PlanWork& plan : plans_) {
    const auto concerned = before.find(plan.lot);
    if (plan.ended_by != kNone || concerned == before.end()) continue;
    for (StepWork& step : plan.steps) CarryProgress(step, moved);
    if (deed.act != v1::STEP_ACT_UNSPECIFIED) Fulfil(plan, position, row, deed, concerned->second);
    CloseReadSteps(plan, row.effective_at_us);
    for (StepWork& step : plan.steps) {
      std::erase_if(step.progress,
                    [&](const auto& part) { return !holding_[plan.lot].contains(part.first); });
    }
    WatchGates(plan, row.effective_at_us);
  }
}

void PlanWalk::CarryProgress(StepWork& step, const std::map<Handle, Handle>& moved) {
  if (step.over() || step.progress.empty()) return;
  for (const auto& [to, from] : moved) {
    const auto it = step.progress.find(from);
    if (it == step.progress.end()) continue;
    std::set<int> parts = it->second;
    step.progress[to] = std::move(parts);
  }
}

// A step that waits for readings to say something is done when they do, also where they said it
// before its turn came.
void PlanWalk::CloseReadSteps(PlanWork& plan, int64_t at_us) {
  const int64_t started_at_us = fold_.sequence().row(plan.row).effective_at_us;
  const std::vector<WineReading>& readings = readings_[plan.lot];
  for (StepWork& step : plan.steps) {
    const bool waits = step.step->act() == v1::STEP_ACT_READ && !step.step->gates().empty();
    const std::optional<int64_t> due_at_us = plan.DueAt(step, started_at_us);
    if (step.over() || !waits || !due_at_us.has_value() || *due_at_us > at_us) continue;
    if (!BlocksOf(*step.step, readings, holding_[plan.lot]).empty()) continue;
    const v1::ReadingKind kind = step.step->gates(0).kind();
    const auto last = std::find_if(readings.rbegin(), readings.rend(),
                                   [kind](const WineReading& r) { return r.kind == kind; });
    if (last == readings.rend()) continue;
    step.done = step.by_itself = true;
    step.by = last->row;
    step.over_at_us = at_us;
  }
}

bool PlanWalk::Counts(const PlanWork& plan, const StepWork& step, const Deed& deed,
                      const std::set<Handle>& before, std::set<Handle>& vessels) const {
  if (step.step->act() != deed.act) return false;
  if (deed.act == v1::STEP_ACT_TREAT && step.step->treatment() != v1::TREATMENT_KIND_UNSPECIFIED &&
      step.step->treatment() != deed.treatment) {
    return false;
  }
  if (deed.act == v1::STEP_ACT_RECEIVE) return deed.lot == plan.lot;
  if (deed.act == v1::STEP_ACT_OBSERVE && deed.things.contains(plan.lot)) vessels = before;
  for (const Handle thing : deed.things) {
    const auto volume = volumes_ul_.find(thing);
    const bool empty_vessel = fold_.directory().kind(thing) == v1::Thing::kVessel &&
                              (volume == volumes_ul_.end() || volume->second == 0);
    if (before.contains(thing) || (deed.act == v1::STEP_ACT_SANITISE && empty_vessel))
      vessels.insert(thing);
  }
  return !vessels.empty();
}

// Takes from the deed what the step asks for.
bool PlanWalk::MarkMaterials(StepWork& step, Deed& deed, const std::set<Handle>& vessels) const {
  bool marked = false;
  for (int i = 0; i < step.step->doses_size(); ++i) {
    const auto it =
        std::find_if(deed.materials.begin(), deed.materials.end(), [&](Handle material) {
          return IsMaterial(fold_, material, step.step->doses(i).material());
        });
    if (it == deed.materials.end()) continue;
    deed.materials.erase(it);
    for (const Handle vessel : vessels) step.progress[vessel].insert(i);
    marked = true;
  }
  return marked;
}

bool PlanWalk::IsComplete(const PlanWork& plan, const StepWork& step) const {
  if (IsOfTheWhole(step.step->act())) return true;
  const size_t parts = step.step->act() == v1::STEP_ACT_ADD
                           ? static_cast<size_t>(std::max(step.step->doses_size(), 1))
                           : 1;
  for (const Handle vessel : holding_.at(plan.lot)) {
    const auto it = step.progress.find(vessel);
    if (it == step.progress.end() || it->second.size() < parts) return false;
  }
  return true;
}

void PlanWalk::MarkWhole(PlanWork& plan, StepWork& step, size_t position,
                         const std::set<Handle>& vessels) {
  for (const Handle vessel : vessels) step.progress[vessel].insert(0);
  // What was drawn off is where it went.
  for (const Movement& m : fold_.MovementsAt(position)) {
    if (m.commodity == kWine && m.from.kind() == Place::Kind::kVessel &&
        vessels.contains(m.from.handle()) && m.to.kind() == Place::Kind::kVessel &&
        holding_[plan.lot].contains(m.to.handle())) {
      step.progress[m.to.handle()].insert(0);
    }
  }
}

void PlanWalk::Fulfil(PlanWork& plan, size_t position, const Row& row, Deed deed,
                      const std::set<Handle>& before) {
  const int64_t started_at_us = fold_.sequence().row(plan.row).effective_at_us;
  for (StepWork& step : plan.steps) {
    if (step.over()) continue;
    const std::optional<int64_t> due_at_us = plan.DueAt(step, started_at_us);
    if (!due_at_us.has_value() || row.effective_at_us < *due_at_us - kEarlyUs) continue;
    std::set<Handle> vessels;
    if (!Counts(plan, step, deed, before, vessels)) continue;
    if (!BlocksOf(*step.step, readings_[plan.lot], before).empty()) continue;
    const bool by_material = deed.act == v1::STEP_ACT_ADD && step.step->doses_size() > 0;
    if (by_material) {
      if (!MarkMaterials(step, deed, vessels)) continue;
    } else {
      MarkWhole(plan, step, position, vessels);
    }
    if (IsComplete(plan, step)) {
      step.done = step.by_itself = true;
      step.by = fold_.sequence().at(position);
      step.over_at_us = row.effective_at_us;
    }
    if (!by_material || deed.materials.empty()) return;
  }
}

void PlanWalk::WatchGates(PlanWork& plan, int64_t at_us) {
  for (StepWork& step : plan.steps) {
    if (step.over() || step.step->gates().empty()) continue;
    if (!BlocksOf(*step.step, readings_[plan.lot], holding_[plan.lot]).empty()) {
      step.open_since_us.reset();
    } else if (!step.open_since_us.has_value()) {
      step.open_since_us = at_us;
    }
  }
}

}  // namespace rundlet::plans
