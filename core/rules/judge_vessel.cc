// The state of a vessel, and of a fermentation.
#include <algorithm>
#include <utility>
#include <vector>

#include "core/quantity/format.h"
#include "core/quantity/reading.h"
#include "core/rules/judge.h"

namespace rundlet::rules {
namespace {

int64_t CapacityOf(const Case& c) {
  const Directory::Known* known = c.fold.directory().Find(c.wine.thing);
  return known == nullptr ? 0 : known->thing.vessel().capacity_ul();
}

// When the wine was first read as fermented; nothing where it was not.
std::optional<int64_t> DrySince(const Case& c) {
  std::optional<int64_t> since;
  for (const WineEvent& event : c.wine.events) {
    if (event.sweetens) since.reset();
    if (event.kind != WineEvent::Kind::kRead ||
        event.of != static_cast<uint32_t>(rundlet::v1::READING_KIND_DENSITY))
      continue;
    const auto gravity = ValueOf(event);
    if (!gravity.has_value()) continue;
    if (*gravity > kWaterGravityMicro) {
      since.reset();
    } else if (!since.has_value()) {
      since = event.at_us;
    }
  }
  return since;
}

// The entry since which there is as much air in the vessel as `share_ppm` of it. What was drawn
// without a pouring is dated by the last of it, so that air is never made older than it is.
RowId AirSince(const Case& c, int64_t capacity_ul, int64_t share_ppm) {
  RowId since = kNone;
  for (auto event = c.wine.events.rbegin(); event != c.wine.events.rend(); ++event) {
    if (event->kind != WineEvent::Kind::kPoured || event->vessel != c.wine.thing) continue;
    if ((capacity_ul - event->value) < capacity_ul / 1'000'000 * share_ppm) break;
    since = event->row;
    if (!event->onto_wine) break;
  }
  const RowId drawn = c.fold.state().holding(c.wine.thing).last_draw;
  if (since == kNone) return drawn == kNone ? c.wine.row : drawn;
  return since;
}

void JudgeHeadspace(const Case& c, const v1::Headspace& rule) {
  const int64_t capacity_ul = CapacityOf(c);
  const int64_t air_ul = capacity_ul - c.wine.volume_ul;
  if (capacity_ul == 0 || air_ul < capacity_ul / 1'000'000 * rule.share_ppm()) return;
  const auto dry = DrySince(c);
  if (!dry.has_value()) return;
  const RowId since = AirSince(c, capacity_ul, rule.share_ppm());
  const int64_t from_us = std::max(*dry, c.fold.sequence().row(since).effective_at_us);
  if (c.now_us - from_us < rule.minutes() * kMinuteUs) return;
  c.Add(since, {{"amount", FormatVolume(air_ul)}, {"time", Duration(c.now_us - from_us)}});
}

void JudgeCapacity(const Case& c) {
  const int64_t capacity_ul = CapacityOf(c);
  if (capacity_ul == 0 || c.wine.volume_ul <= capacity_ul) return;
  c.Add(c.wine.row,
        {{"amount", FormatVolume(c.wine.volume_ul)}, {"limit", FormatVolume(capacity_ul)}});
}

void JudgeStuck(const Case& c, const v1::Stuck& rule) {
  v1::Happening sorbate;
  sorbate.add_groups("sorbate");
  if (c.materials.AnyOf(c.wine.doses, sorbate)) return;  // the sugar is meant to stay
  std::vector<std::pair<const WineEvent*, int64_t>> readings;
  for (const WineEvent& event : c.wine.events) {
    if (event.sweetens) readings.clear();
    if (event.kind != WineEvent::Kind::kRead ||
        event.of != static_cast<uint32_t>(rundlet::v1::READING_KIND_DENSITY))
      continue;
    if (const auto gravity = ValueOf(event); gravity.has_value())
      readings.push_back({&event, *gravity});
  }
  if (readings.size() < 2) return;
  const auto [last, gravity] = readings.back();
  int64_t highest = 0;
  std::optional<int64_t> then;
  int64_t then_us = 0;
  for (const auto& [reading, value] : readings) {
    highest = std::max(highest, value);
    if (last->at_us - reading->at_us < rule.minutes() * kMinuteUs) continue;
    then = value;
    then_us = reading->at_us;
  }
  if (!then.has_value() || gravity <= rule.above_micro() ||
      highest - gravity < rule.begun_micro() || *then - gravity >= rule.drop_micro())
    return;
  c.Add(last->row, {{"amount", FormatReading(std::max<int64_t>(0, *then - gravity),
                                             ReadingUnit::kSpecificGravity)},
                    {"time", Duration(last->at_us - then_us)}});
}

}  // namespace

void JudgeWatch(const Case& c) {
  const v1::Watch& watch = c.rule().watch();
  switch (watch.what_case()) {
    case v1::Watch::kHeadspace:
      if (!c.wine.bottled) JudgeHeadspace(c, watch.headspace());
      break;
    case v1::Watch::kCapacity:
      if (!c.wine.bottled) JudgeCapacity(c);
      break;
    case v1::Watch::kSanitised:
      JudgeSanitised(c);
      break;
    case v1::Watch::kStuck:
      if (!c.wine.bottled) JudgeStuck(c, watch.stuck());
      break;
    case v1::Watch::kRinsed:
      JudgeRinsed(c);
      break;
    case v1::Watch::kHotGlass:
      if (!c.wine.bottled) JudgeHotGlass(c, watch.hot_glass());
      break;
    case v1::Watch::kYeastRange:
      if (!c.wine.bottled) JudgeYeastRange(c, watch.yeast_range());
      break;
    case v1::Watch::kCalibration:
      JudgeCalibration(c);
      break;
    case v1::Watch::kUncounted:
      JudgeUncounted(c);
      break;
    case v1::Watch::WHAT_NOT_SET:
      break;
  }
}

}  // namespace rundlet::rules
