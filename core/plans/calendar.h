#ifndef RUNDLET_CORE_PLANS_CALENDAR_H_
#define RUNDLET_CORE_PLANS_CALENDAR_H_

#include <string>
#include <vector>

#include "absl/time/civil_time.h"
#include "absl/time/time.h"
#include "core/fold/fold.h"
#include "core/plans/plan_state.h"

namespace rundlet::plans {

// What is to be done, as a calendar that phones and computers read: iCalendar, RFC 5545.

// One thing to be done on a day.
struct CalendarEvent {
  std::string uid;  // the same for the same thing in every file, so that it is not there twice
  std::string summary;
  std::string description;
  absl::CivilDay day;
  bool tentative = false;  // the day is a guess
};

// The text of a calendar: lines end with CRLF and are folded at 75 octets, never within a character
// (3.1); texts are escaped (3.3.11). `stamp_us` is when it was made.
std::string PrintCalendar(absl::string_view name, const std::vector<CalendarEvent>& events,
                          int64_t stamp_us);

// An event for each step of the running plans that is not over, on the day on which it is due, in
// the time of `zone`; what was due before stands on the day of `now_us`. By day, then by plan.
std::vector<CalendarEvent> EventsOf(const Fold& fold, const std::vector<PlanState>& plans,
                                    int64_t now_us, const absl::TimeZone& zone);

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_CALENDAR_H_
