// How warm a wine ferments, and what its yeasts can stand.
#include <algorithm>

#include "core/quantity/reading.h"
#include "core/rules/judge.h"
#include "core/view/names.h"

namespace rundlet::rules {
namespace {

constexpr int64_t kBegunMicro = 3'000;  // so much of density is no slip of the eye

v1::Happening Yeast() {
  v1::Happening yeast;
  yeast.add_groups("yeast");
  return yeast;
}

// Takes a border over where it lies further out; of equal ones the name that comes first.
void Widen(std::optional<int64_t>& border, std::string& whose, int64_t millic, bool further,
           const std::string& name) {
  const bool same = border.has_value() && *border == millic;
  if (border.has_value() && !further && !(same && name < whose)) return;
  border = millic;
  whose = name;
}

}  // namespace

const WineEvent* FermentingTemperature(const Case& c) {
  const WineEvent* reading = c.LastReading(rundlet::v1::READING_KIND_TEMPERATURE);
  if (reading == nullptr) return nullptr;
  const v1::Happening yeast = Yeast();
  std::optional<int64_t> gravity;
  int64_t highest = 0;
  bool begun = false;
  for (const WineEvent& event : c.wine.events) {
    if (event.position > reading->position) break;
    begun = begun || c.Is(event, yeast);
    if (event.kind != WineEvent::Kind::kRead ||
        event.of != static_cast<uint32_t>(rundlet::v1::READING_KIND_DENSITY))
      continue;
    gravity = ValueOf(event);
    highest = std::max(highest, gravity.value_or(0));
  }
  if (!gravity.has_value() || *gravity <= kWaterGravityMicro) return nullptr;
  if (!begun && highest - *gravity < kBegunMicro) return nullptr;
  return reading;
}

YeastRange YeastRangeOf(const Case& c) {
  YeastRange range;
  const v1::Happening yeast = Yeast();
  for (const Share& dose : c.wine.doses) {
    const Handle handle = c.fold.commodities().info(dose.of).handle;
    if (!Names(yeast, c.materials.GroupOf(handle))) continue;
    const rundlet::v1::Material* material = FindMaterial(c.fold, handle);
    if (material == nullptr) continue;
    if (material->has_coldest_millic())
      Widen(range.coldest_millic, range.coldest_yeast, material->coldest_millic(),
            material->coldest_millic() < range.coldest_millic.value_or(0), material->name());
    if (material->has_warmest_millic())
      Widen(range.warmest_millic, range.warmest_yeast, material->warmest_millic(),
            material->warmest_millic() > range.warmest_millic.value_or(0), material->name());
  }
  return range;
}

void JudgeYeastRange(const Case& c, const v1::YeastRange& rule) {
  const WineEvent* reading = FermentingTemperature(c);
  if (reading == nullptr) return;
  const auto celsius = ValueOf(*reading);
  const YeastRange range = YeastRangeOf(c);
  const auto border = rule.too_warm() ? range.warmest_millic : range.coldest_millic;
  if (!celsius.has_value() || !border.has_value()) return;
  const int64_t border_micro = *border * 1000;
  if (rule.too_warm() ? *celsius <= border_micro : *celsius >= border_micro) return;
  c.Add(reading->row, {{"amount", FormatReadingRounded(*celsius, ReadingUnit::kCelsius, 1)},
                       {"limit", FormatReadingRounded(border_micro, ReadingUnit::kCelsius, 1)},
                       {"what", rule.too_warm() ? range.warmest_yeast : range.coldest_yeast}});
}

}  // namespace rundlet::rules
