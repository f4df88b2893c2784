// Two things in time: only after, at least so long after, never with.
#include <algorithm>
#include <cstdlib>

#include "core/rules/judge.h"

namespace rundlet::rules {
namespace {

const v1::Order& OrderOf(const Case& c) { return c.rule().order(); }

void AddOrder(const Case& c, RowId entry, const WineEvent& step, const WineEvent* other) {
  const int64_t apart = other == nullptr ? 0 : std::abs(step.at_us - other->at_us);
  c.Add(entry, {{"step", c.NameOf(step)},
                {"other", other == nullptr ? "" : c.NameOf(*other)},
                {"time", Duration(apart)},
                {"need", Duration(OrderOf(c).minutes() * kMinuteUs)}});
}

void OnlyAfter(const Case& c, size_t step) {
  const auto& events = c.wine.events;
  const auto is_other = [&](const WineEvent& event) { return c.Is(event, OrderOf(c).other()); };
  const auto at = [&](size_t i) { return events.begin() + static_cast<std::ptrdiff_t>(i); };
  // One entry that adds both says nothing of their order.
  const size_t position = events[step].position;
  const bool before = std::any_of(events.begin(), events.end(), [&](const WineEvent& event) {
    return event.position <= position && is_other(event);
  });
  const auto after = std::find_if(at(step), events.end(), is_other);
  if (!before && after != events.end()) AddOrder(c, after->row, events[step], &*after);
}

void NeedsBefore(const Case& c, size_t step) {
  const WineEvent& s = c.wine.events[step];
  const int64_t longest = OrderOf(c).minutes() * kMinuteUs;
  const bool there =
      std::any_of(c.wine.events.begin(), c.wine.events.end(), [&](const WineEvent& event) {
        return event.position <= s.position && (longest == 0 || s.at_us - event.at_us <= longest) &&
               c.Is(event, OrderOf(c).other());
      });
  // What was done to the wines of a blend is known by what they brought.
  const bool brought = c.wine.from_blend && c.materials.AnyOf(c.wine.doses, OrderOf(c).other());
  if (!there && !brought) AddOrder(c, s.row, s, nullptr);
}

void Waits(const Case& c, size_t step) {
  const WineEvent& s = c.wine.events[step];
  // A reading is made good by a later one.
  if (s.kind == WineEvent::Kind::kRead &&
      c.LastReading(static_cast<rundlet::v1::ReadingKind>(s.of)) != &s)
    return;
  const WineEvent* last = nullptr;
  for (const WineEvent& event : c.wine.events) {
    if (event.position <= s.position && &event != &s && c.Is(event, OrderOf(c).other()))
      last = &event;
  }
  if (last != nullptr && s.at_us - last->at_us < OrderOf(c).minutes() * kMinuteUs)
    AddOrder(c, s.row, s, last);
}

void OneAtATime(const Case& c, size_t step) {
  const WineEvent& s = c.wine.events[step];
  const auto& partners = OrderOf(c).partners();
  const auto group_of = [&](const WineEvent& event) { return c.materials.GroupOf(event.material); };
  const auto is_partner = [&](const WineEvent& event) {
    return std::find(partners.begin(), partners.end(), group_of(event)->id()) != partners.end();
  };
  for (size_t i = step; i-- > 0;) {
    const WineEvent& event = c.wine.events[i];
    if (event.kind != WineEvent::Kind::kAdded || !c.Is(event, OrderOf(c).other())) continue;
    if (group_of(event) == group_of(s) || (is_partner(event) && is_partner(s))) continue;
    if (s.at_us - event.at_us < OrderOf(c).minutes() * kMinuteUs) AddOrder(c, s.row, s, &event);
    return;
  }
}

void NeverWith(const Case& c) {
  const WineEvent* step = c.Last(OrderOf(c).step());
  const WineEvent* other = c.Last(OrderOf(c).other());
  if (step != nullptr && other != nullptr) {
    AddOrder(c, step->position > other->position ? step->row : other->row, *step, other);
    return;
  }
  // They met in a blend, whose wines brought them.
  const bool both = (step != nullptr || c.materials.AnyOf(c.wine.doses, OrderOf(c).step())) &&
                    (other != nullptr || c.materials.AnyOf(c.wine.doses, OrderOf(c).other()));
  if (!both) return;
  const WineEvent& met = other != nullptr  ? *other
                         : step != nullptr ? *step
                                           : c.wine.events.front();
  AddOrder(c, met.row, met, &met);
}

}  // namespace

void JudgeOrder(const Case& c) {
  if (OrderOf(c).relation() == v1::Order::RELATION_NEVER_WITH) return NeverWith(c);
  for (size_t i = 0; i < c.wine.events.size(); ++i) {
    if (!c.Is(c.wine.events[i], OrderOf(c).step())) continue;
    switch (OrderOf(c).relation()) {
      case v1::Order::RELATION_ONLY_AFTER:
        OnlyAfter(c, i);
        break;
      case v1::Order::RELATION_NEEDS_BEFORE:
        NeedsBefore(c, i);
        break;
      case v1::Order::RELATION_WAITS:
        Waits(c, i);
        break;
      case v1::Order::RELATION_ONE_AT_A_TIME:
        if (c.wine.events[i].kind == WineEvent::Kind::kAdded) OneAtATime(c, i);
        break;
      default:
        break;
    }
  }
}

}  // namespace rundlet::rules
