#ifndef RUNDLET_CORE_PLANS_PLAN_DEED_H_
#define RUNDLET_CORE_PLANS_PLAN_DEED_H_

#include <set>
#include <vector>

#include "core/fold/fold.h"
#include "rundlet/v1/plan.pb.h"

namespace rundlet::plans {

// What an entry did, as far as it may fulfil a step.
struct Deed {
  v1::StepAct act = v1::STEP_ACT_UNSPECIFIED;  // unspecified: it fulfils none
  v1::TreatmentKind treatment = v1::TREATMENT_KIND_UNSPECIFIED;
  // The vessels whose wine it was done to: drawn from, for what moves wine; filled, for a topping.
  // What was sanitised, seen or received stands here as it is: a vessel, gear, a lot.
  std::set<Handle> things;
  Handle lot = kNoHandle;         // of what was received
  std::vector<Handle> materials;  // added: materials or packets
};
Deed DeedOf(const Fold& fold, const Row& row);

// Whether a step's material, by its name in the plan, is what was added: the name of the material
// or of the packet, its kind, or the words at the end of its name ("yeast" for a "white wine
// yeast", but not for a "yeast nutrient").
bool IsMaterial(const Fold& fold, Handle material_or_packet, absl::string_view name);

// The materials that a plan may mean by a word, by name.
std::vector<Handle> MaterialsMeant(const Fold& fold, absl::string_view word);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_PLAN_DEED_H_
