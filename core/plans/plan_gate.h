#ifndef RUNDLET_CORE_PLANS_PLAN_GATE_H_
#define RUNDLET_CORE_PLANS_PLAN_GATE_H_

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "core/fold/ids.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

// What the readings must say before a step is due.

// One measured value of a lot's wine.
struct WineReading {
  v1::ReadingKind kind = v1::READING_KIND_UNSPECIFIED;
  v1::ReadingUnit unit = v1::READING_UNIT_UNSPECIFIED;
  int64_t value_micro = 0;
  Handle vessel = kNoHandle;  // that the wine was in when it was read
  RowId row = kNone;
  int64_t at_us = 0;
  int32_t utc_offset_min = 0;
};

// Why a gate is closed for the wine in one vessel.
struct GateBlock {
  v1::ReadingKind kind = v1::READING_KIND_UNSPECIFIED;
  // Whose reading would open it; kNoHandle while no vessel holds the wine.
  Handle vessel = kNoHandle;
  // "density at most 0.998 SG, 2 readings 2 days apart: last is 1.004 SG on 2026-03-02".
  std::string text;
  // Before this time no reading opens it; 0: any may.
  int64_t not_before_us = 0;
};

// Why a gate is closed for the wine in `vessel`; nothing where it is open.
//
// `readings` are those of the lot, in order. Of them count those taken in the vessel, and those
// from vessels that hold the lot no longer (its history from before it was racked or shared out);
// `holding` are the vessels that hold it. The gate is open when the last readings, at least as many
// as it asks for, keep the bound without a break, and the first and the last of them are far enough
// apart: who reads daily needs not skip a day.
std::optional<GateBlock> BlockOf(const v1::StepGate& gate, const std::vector<WineReading>& readings,
                                 const std::set<Handle>& holding, Handle vessel);

// Over all vessels that hold the lot (or for the lot as such, where none does), and all gates of a
// step. In the order of `holding`.
std::vector<GateBlock> BlocksOf(const v1::PlanStep& step, const std::vector<WineReading>& readings,
                                const std::set<Handle>& holding);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_GATE_H_
