#include "core/plans/calendar.h"

#include <algorithm>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"
#include "core/plans/plan_words.h"
#include "core/quantity/format.h"

namespace rundlet::plans {
namespace {

using absl::string_view;

constexpr size_t kMaxLineOctets = 75;  // RFC 5545 section 3.1, without the line break

// Section 3.3.11.
std::string Escape(string_view text) {
  std::string escaped;
  for (const char c : text) {
    if (c == '\\' || c == ';' || c == ',') absl::StrAppend(&escaped, "\\");
    if (c == '\n') {
      absl::StrAppend(&escaped, "\\n");
    } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
      escaped += c;
    }
  }
  return escaped;
}

bool ContinuesACharacter(char c) { return (static_cast<unsigned char>(c) & 0xc0) == 0x80; }

// One content line, in as many pieces as it needs; each but the first begins with a space.
void AddLine(string_view line, std::string& out) {
  size_t room = kMaxLineOctets;
  while (line.size() > room) {
    size_t cut = room;
    while (cut > 1 && ContinuesACharacter(line[cut])) --cut;
    absl::StrAppend(&out, line.substr(0, cut), "\r\n ");
    line.remove_prefix(cut);
    room = kMaxLineOctets - 1;
  }
  absl::StrAppend(&out, line, "\r\n");
}

std::string DateOf(absl::CivilDay day) {
  return absl::StrFormat("%04d%02d%02d", day.year(), day.month(), day.day());
}

std::string DescriptionOf(const Fold& fold, const PlanState& plan, const StepState& step) {
  std::vector<std::string> lines;
  if (!step.step.person().empty()) lines.push_back(absl::StrCat("For: ", step.step.person()));
  for (const DoseNow& dose : step.doses) {
    lines.push_back(absl::StrCat(dose.material, ": ", FormatAmount(dose.amount), " into ",
                                 fold.directory().NameOf(dose.vessel, fold.sequence())));
  }
  for (const GateBlock& block : step.blocks)
    lines.push_back(absl::StrCat("Only with ", block.text));
  if (!step.step.text().empty()) lines.push_back(step.step.text());
  lines.push_back(absl::StrCat("Plan: ", plan.name, ", step ", step.step.key()));
  return absl::StrJoin(lines, "\n");
}

}  // namespace

std::string PrintCalendar(string_view name, const std::vector<CalendarEvent>& events,
                          int64_t stamp_us) {
  std::string out;
  const std::string stamp =
      absl::FormatTime("%Y%m%dT%H%M%SZ", absl::FromUnixMicros(stamp_us), absl::UTCTimeZone());
  AddLine("BEGIN:VCALENDAR", out);
  AddLine("VERSION:2.0", out);
  AddLine("PRODID:-//Rundlet//Plans//EN", out);
  AddLine("CALSCALE:GREGORIAN", out);
  AddLine(absl::StrCat("X-WR-CALNAME:", Escape(name)), out);
  for (const CalendarEvent& event : events) {
    AddLine("BEGIN:VEVENT", out);
    AddLine(absl::StrCat("UID:", Escape(event.uid)), out);
    AddLine(absl::StrCat("DTSTAMP:", stamp), out);
    AddLine(absl::StrCat("DTSTART;VALUE=DATE:", DateOf(event.day)), out);
    AddLine(absl::StrCat("DTEND;VALUE=DATE:", DateOf(event.day + 1)), out);
    AddLine(absl::StrCat("SUMMARY:", Escape(event.summary)), out);
    if (!event.description.empty())
      AddLine(absl::StrCat("DESCRIPTION:", Escape(event.description)), out);
    AddLine(event.tentative ? "STATUS:TENTATIVE" : "STATUS:CONFIRMED", out);
    AddLine("TRANSP:TRANSPARENT", out);  // nobody is busy by it
    AddLine("END:VEVENT", out);
  }
  AddLine("END:VCALENDAR", out);
  return out;
}

std::vector<CalendarEvent> EventsOf(const Fold& fold, const std::vector<PlanState>& plans,
                                    int64_t now_us, const absl::TimeZone& zone) {
  std::vector<CalendarEvent> events;
  for (const PlanState& plan : plans) {
    if (!plan.running()) continue;
    std::vector<std::string> places;
    for (const Handle vessel : plan.vessels)
      places.push_back(fold.directory().NameOf(vessel, fold.sequence()));
    const std::string lot = fold.directory().NameOf(plan.lot, fold.sequence());
    for (const StepState& step : plan.steps) {
      if (step.status == StepStatus::kDone || step.status == StepStatus::kSkipped) continue;
      const int64_t at_us = std::max(step.due_at_us, now_us);
      events.push_back(
          {.uid = absl::StrCat(plan.plan_id.ToString(), "-",
                               absl::BytesToHexString(step.step.key()), "@rundlet"),
           .summary = absl::StrCat(
               places.empty() ? lot : absl::StrCat(absl::StrJoin(places, ", "), " (", lot, ")"),
               ": ", step.step.title()),
           .description = DescriptionOf(fold, plan, step),
           .day = absl::CivilDay(zone.At(absl::FromUnixMicros(at_us)).cs),
           .tentative = step.status == StepStatus::kLater || !step.blocks.empty()});
    }
  }
  std::stable_sort(events.begin(), events.end(),
                   [](const CalendarEvent& a, const CalendarEvent& b) { return a.day < b.day; });
  return events;
}

}  // namespace rundlet::plans
