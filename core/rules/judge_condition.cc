// What must be true before a step.
#include <algorithm>
#include <cstdlib>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_join.h"
#include "core/rules/judge.h"

namespace rundlet::rules {
namespace {

// The step, and the events that came before it.
struct Before {
  const Case& c;
  size_t step;

  const WineEvent& at() const { return c.wine.events[step]; }
};

bool BringsSugar(const Before& b, const WineEvent& event) {
  if (event.kind != WineEvent::Kind::kAdded) return event.sweetens;
  const v1::Group* group = b.c.materials.GroupOf(event.material);
  return group != nullptr && group->sweetens();
}

// Readings of a kind before the step and after sugar last came in, latest first.
std::vector<const WineEvent*> ReadingsBefore(const Before& b, rundlet::v1::ReadingKind kind) {
  std::vector<const WineEvent*> readings;
  for (size_t i = b.step; i-- > 0;) {
    const WineEvent& event = b.c.wine.events[i];
    if (BringsSugar(b, event)) break;
    if (event.kind == WineEvent::Kind::kRead && event.of == static_cast<uint32_t>(kind))
      readings.push_back(&event);
  }
  return readings;
}

bool InRange(const v1::Readings& asked, int64_t value) {
  return (!asked.has_at_most_micro() || value <= asked.at_most_micro()) &&
         (!asked.has_at_least_micro() || value >= asked.at_least_micro());
}

bool Passes(const Before& b, const v1::Readings& asked) {
  const auto readings = ReadingsBefore(b, asked.kind());
  if (readings.empty()) return false;
  const WineEvent& latest = *readings.front();
  const auto value = ValueOf(latest);
  if (!value.has_value() || !InRange(asked, *value)) return false;
  if (asked.not_older_min() > 0 && b.at().at_us - latest.at_us > asked.not_older_min() * kMinuteUs)
    return false;
  if (asked.count() == 1) return true;
  const auto earlier =
      std::find_if(readings.begin(), readings.end(), [&](const WineEvent* reading) {
        return latest.at_us - reading->at_us >= asked.apart_min() * kMinuteUs;
      });
  if (earlier == readings.end()) return false;
  const auto then = ValueOf(**earlier);
  if (!then.has_value() || !InRange(asked, *then)) return false;
  return !asked.has_drift_micro() || std::abs(*value - *then) <= asked.drift_micro();
}

// What was done to a wine counts for as long as no sugar came in after it.
bool HappenedSinceSugar(const Before& b, const v1::Happening& happening) {
  for (size_t i = b.step; i-- > 0;) {
    const WineEvent& event = b.c.wine.events[i];
    if (BringsSugar(b, event)) return false;
    if (b.c.Is(event, happening)) return true;
  }
  return false;
}

bool HappenedWithin(const Before& b, const v1::Happening& happening, int64_t within_us) {
  for (size_t i = b.step; i-- > 0;) {
    const WineEvent& event = b.c.wine.events[i];
    if (b.c.Is(event, happening) && b.at().at_us - event.at_us < within_us) return true;
  }
  return false;
}

bool WasClear(const Before& b, const v1::SeenClear& clear) {
  for (size_t i = b.step; i-- > 0;) {
    const WineEvent& event = b.c.wine.events[i];
    if (clear.has_after() && b.c.Is(event, clear.after())) return false;
    if (event.kind != WineEvent::Kind::kObserved) continue;
    const rundlet::v1::Entry* kept = b.c.fold.records().Find(event.row);
    if (kept == nullptr) continue;
    const auto& impressions = kept->observation().impressions();
    if (std::none_of(impressions.begin(), impressions.end(), [](const auto& impression) {
          return impression.aspect() == rundlet::v1::ASPECT_CLARITY;
        }))
      continue;
    const std::string text = b.c.SeenText(event);
    return std::none_of(clear.not_words().begin(), clear.not_words().end(),
                        [&text](const std::string& word) { return absl::StrContains(text, word); });
  }
  return false;
}

bool Passes(const Before& b, const v1::Check& check) {
  switch (check.what_case()) {
    case v1::Check::kReadings:
      return Passes(b, check.readings());
    case v1::Check::kHappened:
      return HappenedSinceSugar(b, check.happened());
    case v1::Check::kInTheWine:
      return b.c.materials.AnyOf(b.c.wine.doses, check.in_the_wine());
    case v1::Check::kQuiet:
      return !HappenedWithin(b, check.quiet().happening(), check.quiet().minutes() * kMinuteUs);
    case v1::Check::kClear:
      return WasClear(b, check.clear());
    case v1::Check::WHAT_NOT_SET:
      break;
  }
  return false;
}

}  // namespace

void JudgeCondition(const Case& c) {
  const v1::Condition& condition = c.rule().condition();
  for (size_t i = 0; i < c.wine.events.size(); ++i) {
    if (!c.Is(c.wine.events[i], condition.step())) continue;
    const Before before{c, i};
    std::vector<absl::string_view> missing;
    bool passed = false;
    for (const v1::Way& way : condition.ways()) {
      const auto fails =
          std::find_if(way.checks().begin(), way.checks().end(),
                       [&](const v1::Check& check) { return !Passes(before, check); });
      passed = passed || fails == way.checks().end();
      if (!passed) missing.push_back(fails->need());
    }
    if (passed) continue;
    c.Add(before.at().row,
          {{"step", c.NameOf(before.at())}, {"need", absl::StrJoin(missing, "; ")}});
  }
}

}  // namespace rundlet::rules
