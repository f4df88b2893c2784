#ifndef RUNDLET_CORE_QUANTITY_WHEN_H_
#define RUNDLET_CORE_QUANTITY_WHEN_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"

namespace rundlet {

// A moment, and the wall clock it was read from.
struct When {
  int64_t at_us = 0;           // microseconds since 1970-01-01T00:00:00Z, leap seconds not counted
  int32_t utc_offset_min = 0;  // local time minus UTC, minutes

  friend bool operator==(const When&, const When&) = default;
};

constexpr int32_t kMaxUtcOffsetMin = 18 * 60;  // either way; no zone was ever further out

struct WhenRules {
  bool allow_future = false;  // for plans; what happened cannot lie ahead
};

// A time as people say it, against `now` and the local time of `zone`. Nothing is read from the
// machine: clock and zone are handed in.
//
//   now                       today           yesterday           3 days ago     2 weeks ago
//   2h ago   20 min ago       today 14:00     yesterday at 9:30   3 days ago 14:00
//   14:00   2pm   2:30 pm     mon   monday    last fri 18:00      noon   yesterday noon
//   tomorrow 9:00             next fri 18:00    in 2h               in 3 days 14:00
//   2026-03-02                2026-03-02 14:00                    2026-03-02T14:00:00.25+01:00
//
// - A day without a time is noon of that day; today without a time is now.
// - A time without a day is today.
// - A weekday is the last such day on or before now, and never in the future: on a Monday at 10:00
//   "mon" is now and "mon 14:00" a week ago. "last" skips today, and "next" looks ahead.
// - Hours, minutes and seconds ago count elapsed time; days and weeks ago name a day, so that clock
//   changes do not shift them.
// - A local time that the clock skips or shows twice at a change is read by the offset in force
//   before the change: as on a watch that nobody has reset yet.
// - "2026-03-02 14:00" may carry seconds, up to six decimals of them, and an offset ("Z", "+01:00",
//   "+0100"), which is then kept; "T" or a space stands before the time (ISO 8601, RFC 3339).
//
// InvalidArgument for text that is no such time. OutOfRange for what lies more than a minute after
// now (clocks differ by seconds), unless the rules allow it, and for years outside 1900 to 2199.
// The text says what to write.
absl::StatusOr<When> ParseWhen(absl::string_view text, const When& now, const absl::TimeZone& zone,
                               const WhenRules& rules = {});

// The same where only the offset of `now` is known, and held to be the offset at all times.
absl::StatusOr<When> ParseWhen(absl::string_view text, const When& now,
                               const WhenRules& rules = {});

// The moment with the offset that `zone` has then, whole minutes towards minus infinity (before
// about 1930 some zones had seconds too).
When WhenAt(absl::Time time, const absl::TimeZone& zone);

// Local by its own offset: "2026-03-02 14:00". Seconds are cut off.
std::string FormatWhen(const When& when);
std::string FormatWhenDay(const When& when);  // "2026-03-02"

// RFC 3339, to the microsecond where there are any: "2026-03-02T14:00:00.25+01:00", "...Z" at
// offset zero. ParseWhen() of it gives the same moment and offset.
std::string FormatWhenIso(const When& when);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_WHEN_H_
