#include "core/view/wine_story.h"

#include <algorithm>

#include "absl/strings/match.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

using Kinds = uint32_t;  // a bit for each v1::ReadingKind

constexpr Kinds Bit(v1::ReadingKind kind) { return Kinds{1} << kind; }

constexpr Kinds kAllKinds = ~Kinds{0};
constexpr Kinds kOfSulfite = Bit(v1::READING_KIND_FREE_SO2) | Bit(v1::READING_KIND_TOTAL_SO2);
constexpr Kinds kOfAcid = Bit(v1::READING_KIND_PH) | Bit(v1::READING_KIND_TITRATABLE_ACIDITY);
constexpr Kinds kOfFermenting = Bit(v1::READING_KIND_DENSITY) | Bit(v1::READING_KIND_TEMPERATURE) |
                                Bit(v1::READING_KIND_RESIDUAL_SUGAR) |
                                Bit(v1::READING_KIND_ALCOHOL);

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
    if (m.from.kind() == Place::Kind::kOutside && m.from.account() != v1::ACCOUNT_SOURCE) continue;
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

Kinds ChangedByMaterial(const v1::Material* material, int64_t volume_effect_ul) {
  if (volume_effect_ul > 0 || material == nullptr) return kAllKinds;
  const std::string& kind = material->kind();
  Kinds kinds = 0;
  if (material->so2_ppm() > 0 || absl::StrContains(kind, "sulfite")) kinds |= kOfSulfite;
  if (absl::StrContains(kind, "acid") || absl::StrContains(kind, "carbonate")) kinds |= kOfAcid;
  if (absl::StrContains(kind, "yeast")) kinds |= kOfFermenting;
  return kinds;
}

// The kinds of reading that the step makes doubtful.
Kinds ChangedBy(const Fold& fold, const StoryStep& step) {
  const Row& row = fold.sequence().row(fold.sequence().at(step.position));
  if (row.kind != ActKind::kAdd)
    return InflowOf(fold, step.position, step.vessel).onto_wine ? kAllKinds : Kinds{0};
  Kinds kinds = 0;
  for (const Line& line : fold.sequence().lines(row)) {
    if (line.role == Role::kMaterial)
      kinds |= ChangedByMaterial(FindMaterial(fold, line.handle), line.extra);
  }
  return kinds;
}

bool IsRemade(const Fold& fold, const StoryStep& step) {
  const Row& row = fold.sequence().row(fold.sequence().at(step.position));
  if (row.kind != ActKind::kAdd) return InflowOf(fold, step.position, step.vessel).onto_wine;
  const absl::Span<const Line> lines = fold.sequence().lines(row);
  return std::any_of(lines.begin(), lines.end(), [](const Line& line) {
    return line.role == Role::kMaterial && line.extra > 0;
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
  for (const StoryStep& step : StoryOf(fold, vessel)) {
    if (IsRemade(fold, step)) since = step.position;
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
  for (const StoryStep& step : StoryOf(fold, vessel)) {
    const Kinds changed = ChangedBy(fold, step);
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
