#include "core/care/needs.h"

#include <algorithm>
#include <map>

#include "absl/algorithm/container.h"
#include "absl/strings/ascii.h"
#include "core/plans/plan_deed.h"
#include "core/plans/plan_state.h"
#include "core/quantity/when_parts.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::care {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

// A material measured in one way: 100 g of sulfite and 20 tablets of it are not added up.
using Key = std::pair<std::string, Dimension>;

v1::Amount Measured(v1::Dimension dimension, int64_t base) {
  v1::Amount amount;
  amount.set_dimension(dimension);
  amount.set_base(base);
  return amount;
}

Dimension DimensionOf(v1::Dimension dimension) {
  return FromWire(Measured(dimension, 0)).dimension;
}

class NeedList {
 public:
  NeedList(const Fold& fold, absl::CivilDay today) : fold_(fold), today_(today) {}

  void TakePlans(const std::vector<PlanState>& plans, int64_t until_us) {
    for (const PlanState& plan : plans) {
      if (!plan.running()) continue;
      for (const StepState& step : plan.steps) {
        const bool over = step.status == StepStatus::kDone || step.status == StepStatus::kSkipped;
        if (!over && step.due_at_us <= until_us) TakeStep(plan, step);
      }
    }
  }

  void TakeMaterials() {
    const auto keep = [this](Handle handle, const Directory::Known& known) {
      const v1::Material& material = known.thing.material();
      if (known.retired || material.keep_base() == 0) return;
      Entry& entry = EntryOf(material.name(), {handle}, DimensionOf(material.dimension()));
      entry.need.keep = material.keep_base();
    };
    fold_.directory().ForEach(v1::Thing::kMaterial, keep);
  }

  void TakeStock() {
    for (const Balance& balance : fold_.state().balances()) {
      if (balance.place != Place::Stock() || balance.amount == 0) continue;
      const CommodityInfo& info = fold_.commodities().info(balance.commodity);
      const Directory::Known* packet = fold_.directory().Find(info.handle);
      if (packet == nullptr || packet->retired) continue;
      const v1::MaterialLot& lot = packet->thing.material_lot();
      const Handle material = HandleOf(fold_, lot.material_id());
      const Dimension dimension = DimensionOf(static_cast<v1::Dimension>(info.measure));
      for (auto& [key, entry] : needs_) {
        Need& need = entry.need;
        if (need.dimension != dimension || !absl::c_linear_search(entry.materials, material))
          continue;
        (IsGood(lot, need) ? need.on_hand : need.expired) += balance.amount;
      }
    }
  }

  std::vector<Need> Finish() && {
    std::vector<Need> list;
    for (auto& [key, entry] : needs_) list.push_back(std::move(entry.need));
    return list;
  }

 private:
  struct Entry {
    Need need;
    std::vector<Handle> materials;  // whose packets serve
  };

  Entry& Find(const std::string& word, Dimension dimension) {
    std::vector<Handle> materials = plans::MaterialsMeant(fold_, word);
    const std::string name = materials.size() == 1 ? NameOf(fold_, materials[0]) : word;
    return EntryOf(name, std::move(materials), dimension);
  }

  Entry& EntryOf(const std::string& name, std::vector<Handle> materials, Dimension dimension) {
    Entry& entry = needs_[Key(absl::AsciiStrToLower(name), dimension)];
    if (entry.need.material.empty()) {
      entry.need.handle = materials.empty() ? kNoHandle : materials[0];
      entry.need.material = name;
      entry.need.dimension = dimension;
      entry.materials = std::move(materials);
    }
    return entry;
  }

  // Of a material that is measured as the day decides: as it is kept.
  Dimension KeptIn(const std::string& word) const {
    for (const Handle handle : plans::MaterialsMeant(fold_, word)) {
      const v1::Material& material = fold_.directory().Find(handle)->thing.material();
      if (material.has_dimension()) return DimensionOf(material.dimension());
    }
    return Dimension::kMass;
  }

  void Mention(const PlanState& plan, const StepState& step, Need& need) {
    if (std::find(need.plans.begin(), need.plans.end(), plan.name) == need.plans.end())
      need.plans.push_back(plan.name);
    if (need.first_use_us == 0 || step.due_at_us < need.first_use_us)
      need.first_use_us = step.due_at_us;
  }

  void TakeStep(const PlanState& plan, const StepState& step) {
    for (const plans::DoseNow& dose : step.doses) {
      Need& need = Find(dose.material, dose.amount.dimension).need;
      need.wanted += dose.amount.base;
      Mention(plan, step, need);
    }
    for (const v1::StepDose& dose : step.step.doses()) {
      const auto is_open = [&](const plans::DoseAsNeeded& open) {
        return open.material == dose.material();
      };
      if (dose.base() != 0 || (!plan.vessels.empty() && absl::c_none_of(step.as_needed, is_open)))
        continue;
      Need& need = Find(dose.material(), KeptIn(dose.material())).need;
      need.unmeasured = true;
      Mention(plan, step, need);
    }
  }

  bool IsGood(const v1::MaterialLot& packet, const Need& need) const {
    const auto expires = ReadDate(packet.expires_on());
    if (!expires.has_value()) return true;
    const absl::CivilDay first_use =
        need.first_use_us == 0
            ? today_
            : absl::CivilDay(absl::UTCTimeZone().At(absl::FromUnixMicros(need.first_use_us)).cs);
    return *expires >= std::max(today_, first_use);
  }

  const Fold& fold_;
  absl::CivilDay today_;
  std::map<Key, Entry> needs_;
};

}  // namespace

std::vector<Need> NeedsOf(const Fold& fold, int64_t now_us, int64_t until_us,
                          absl::CivilDay today) {
  NeedList list(fold, today);
  list.TakePlans(plans::PlansOf(fold, now_us), until_us);
  list.TakeMaterials();
  list.TakeStock();
  return std::move(list).Finish();
}

}  // namespace rundlet::care
