#ifndef RUNDLET_CORE_QUANTITY_WHEN_PARTS_H_
#define RUNDLET_CORE_QUANTITY_WHEN_PARTS_H_

#include <cstdint>
#include <optional>

#include "absl/strings/string_view.h"
#include "absl/time/civil_time.h"

namespace rundlet {

// The parts of a spoken time (when.h), each read from a whole word in lower case. Empty for text
// that is no such part.

// A time of day; noon where a day is named without one.
struct Clock {
  int hour = 12, minute = 0, second = 0;
  int64_t micro = 0;
};

// "14:00", "14:00:30.25", "9.30", "2pm", "2:30pm", "noon".
std::optional<Clock> ReadClock(absl::string_view word);

// "2026-03-02"; not "2026-02-30".
std::optional<absl::CivilDay> ReadDate(absl::string_view word);

// Local time minus UTC in minutes: "z", "+01:00", "+0100", "-05".
std::optional<int32_t> ReadOffset(absl::string_view word);

// A full English name or its beginning, from three letters on.
std::optional<absl::Weekday> ReadWeekday(absl::string_view word);

// "2h", "20min", "anhour", "3days": a count of a unit that is so many microseconds or so many days.
struct Elapsed {
  int64_t count = 1;
  int64_t unit_us = 0;
  int64_t unit_days = 0;
};
std::optional<Elapsed> ReadElapsed(absl::string_view word);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_WHEN_PARTS_H_
