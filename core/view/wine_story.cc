#include "core/view/wine_story.h"

#include <algorithm>

#include "core/rules/groups.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

using Kinds = uint32_t;  // a bit for each v1::ReadingKind

constexpr Kinds Bit(v1::ReadingKind kind) { return Kinds{1} << kind; }

constexpr Kinds kAllKinds = ~Kinds{0};
constexpr Kinds kOfAcid = Bit(v1::READING_KIND_PH) | Bit(v1::READING_KIND_TITRATABLE_ACIDITY);
constexpr Kinds kOfChilling = kOfAcid;
constexpr Kinds kOfDegassing = kOfAcid | Bit(v1::READING_KIND_DENSITY);

// Whether the entry names the vessel as one that it works on.
bool Names(absl::Span<const Line> lines, Handle vessel) {
  return std::any_of(lines.begin(), lines.end(), [vessel](const Line& line) {
    const bool of_vessel = line.role == Role::kVessel || line.role == Role::kSubject ||
                           line.role == Role::kDraw || line.role == Role::kFill;
    return of_vessel && line.handle == vessel;
  });
}

// What an entry poured into a vessel.
struct Inflow {
  bool any = false;
  bool onto_wine = false;          // there was wine in the vessel already
  Handle sole_source = kNoHandle;  // the one vessel that all of it came from
};

Inflow InflowOf(const Fold& fold, size_t position, Handle vessel) {
  Inflow inflow;
  bool sole = true;
  for (const Movement& m : fold.MovementsAt(position)) {
    const bool from_itself = m.from == Place::Vessel(vessel);
    if (m.commodity != kWine || m.to != Place::Vessel(vessel) || from_itself) continue;
    // What an addition brings, and what a measurement found, is the wine's own from then on.
    if (m.from.kind() == Place::Kind::kOutside && m.from.account() != v1::ACCOUNT_SOURCE &&
        m.from.account() != v1::ACCOUNT_GLASS)
      continue;
    const Handle source =
        m.from.kind() == Place::Kind::kVessel ? m.from.handle() : Handle{kNoHandle};
    sole = sole && source != kNoHandle && (!inflow.any || source == inflow.sole_source);
    inflow.sole_source = source;
    inflow.any = true;
    const auto& parcels = fold.state().parcels();
    const ParcelId before = m.to_parcel == kNone ? kNone : parcels[m.to_parcel].before;
    inflow.onto_wine = before != kNone && parcels[before].volume_ul > 0;
  }
  if (!sole) inflow.sole_source = kNoHandle;
  return inflow;
}

// What is added with little volume changes what it is made for; what nobody knows may change
// anything.
Kinds ChangedByMaterial(const v1::Material* material) {
  const rules::v1::Group* group = material == nullptr ? nullptr : rules::GroupOf(*material);
  if (group == nullptr || !group->has_changes()) return kAllKinds;
  Kinds kinds = 0;
  for (const int kind : group->changes().readings())
    kinds |= Bit(static_cast<v1::ReadingKind>(kind));
  return kinds;
}

// In the cold bitartrate falls out; gas weighs on acidity and lifts the hydrometer.
Kinds ChangedByTreatment(absl::Span<const Line> lines) {
  const Line* treatment = FindLine(lines, Role::kTreatment);
  if (treatment == nullptr) return 0;
  switch (static_cast<v1::TreatmentKind>(treatment->handle)) {
    case v1::TREATMENT_KIND_CHILLING:
      return kOfChilling;
    case v1::TREATMENT_KIND_DEGASSING:
      return kOfDegassing;
    default:
      return 0;
  }
}

// Half a per cent more of volume, as a solution of a fining brings, moves no reading that counts.
bool Dilutes(int64_t volume_effect_ul, int64_t volume_ul) {
  return volume_effect_ul > volume_ul / 200;
}

// The kinds of reading that the step makes doubtful.
Kinds ChangedBy(const Fold& fold, const StoryStep& step, int64_t volume_ul) {
  const Row& row = fold.sequence().row(fold.sequence().at(step.position));
  if (row.kind == ActKind::kTreat) return ChangedByTreatment(fold.sequence().lines(row));
  if (row.kind != ActKind::kAdd)
    return InflowOf(fold, step.position, step.vessel).onto_wine ? kAllKinds : Kinds{0};
  Kinds kinds = 0;
  for (const Line& line : fold.sequence().lines(row)) {
    if (line.role != Role::kMaterial) continue;
    kinds |= Dilutes(line.extra, volume_ul) ? kAllKinds
                                            : ChangedByMaterial(FindMaterial(fold, line.handle));
  }
  return kinds;
}

bool IsRemade(const Fold& fold, const StoryStep& step, int64_t volume_ul) {
  const Row& row = fold.sequence().row(fold.sequence().at(step.position));
  if (row.kind != ActKind::kAdd) return InflowOf(fold, step.position, step.vessel).onto_wine;
  const absl::Span<const Line> lines = fold.sequence().lines(row);
  return std::any_of(lines.begin(), lines.end(), [volume_ul](const Line& line) {
    return line.role == Role::kMaterial && Dilutes(line.extra, volume_ul);
  });
}

KnownReading ReadingFrom(const Fact& fact) {
  return {.kind = static_cast<v1::ReadingKind>(fact.kind),
          .unit = static_cast<v1::ReadingUnit>(fact.unit),
          .value_micro = fact.value,
          .row = fact.row};
}

}  // namespace

std::vector<StoryStep> StoryOf(const Fold& fold, Handle vessel) {
  std::vector<StoryStep> steps;
  if (fold.state().holding(vessel).volume_ul == 0) return steps;
  const Sequence& order = fold.sequence();
  for (size_t position = order.size(); position-- > 0;) {
    const Row& row = order.row(order.at(position));
    const bool counts = row.standing == Row::Standing::kCounts && fold.HeldAt(position) == nullptr;
    if (!counts || !Names(order.lines(row), vessel)) continue;
    steps.push_back({position, vessel});
    const Inflow inflow = InflowOf(fold, position, vessel);
    if (!inflow.any || inflow.onto_wine) continue;
    if (inflow.sole_source == kNoHandle) break;  // a delivery or a blend: here it began
    vessel = inflow.sole_source;
  }
  std::reverse(steps.begin(), steps.end());
  return steps;
}

size_t SameWineSince(const Fold& fold, Handle vessel) {
  size_t since = 0;
  const int64_t volume_ul = fold.state().holding(vessel).volume_ul;
  for (const StoryStep& step : StoryOf(fold, vessel)) {
    if (IsRemade(fold, step, volume_ul)) since = step.position;
  }
  return since;
}

std::vector<KnownReading> LatestOfEachKind(const Fold& fold, Handle vessel) {
  std::vector<KnownReading> readings;
  Kinds seen = 0;
  for (FactId id = fold.state().holding(vessel).facts; id != kNone;
       id = fold.state().facts()[id].previous) {
    const Fact& fact = fold.state().facts()[id];
    if (fact.type != FactType::kReading || (seen >> fact.kind & 1) != 0) continue;
    seen |= Kinds{1} << fact.kind;
    readings.push_back(ReadingFrom(fact));
  }
  return readings;
}

std::vector<KnownReading> KnownReadings(const Fold& fold, Handle vessel) {
  std::vector<KnownReading> readings = LatestOfEachKind(fold, vessel);
  if (readings.empty()) return readings;
  const int64_t volume_ul = fold.state().holding(vessel).volume_ul;
  for (const StoryStep& step : StoryOf(fold, vessel)) {
    const Kinds changed = ChangedBy(fold, step, volume_ul);
    if (changed == 0) continue;
    for (KnownReading& reading : readings) {
      const bool later = fold.sequence().PositionOf(reading.row) < step.position;
      if (later && reading.changed_by == kNone && (changed & Bit(reading.kind)) != 0)
        reading.changed_by = fold.sequence().at(step.position);
    }
  }
  return readings;
}

std::vector<KnownReading> ReadingsOf(const Fold& fold, Handle vessel, v1::ReadingKind kind) {
  std::vector<KnownReading> readings;
  for (FactId id = fold.state().holding(vessel).facts; id != kNone;
       id = fold.state().facts()[id].previous) {
    const Fact& fact = fold.state().facts()[id];
    if (fact.type == FactType::kReading && fact.kind == static_cast<uint32_t>(kind))
      readings.push_back(ReadingFrom(fact));
  }
  std::reverse(readings.begin(), readings.end());
  return readings;
}

}  // namespace rundlet
