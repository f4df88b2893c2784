#include "core/quantity/when_parts.h"

#include <cstddef>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/quantity/when.h"

namespace rundlet {
namespace {

using absl::CivilDay;
using absl::string_view;

constexpr int64_t kSecondUs = 1'000'000;

// From `least` to `most` digits at the front; at most nine, so that the value fits.
std::optional<int> TakeDigits(string_view* text, size_t least, size_t most) {
  size_t length = 0;
  int value = 0;
  while (length < text->size() && length < most && absl::ascii_isdigit((*text)[length])) {
    value = value * 10 + ((*text)[length++] - '0');
  }
  if (length < least) return std::nullopt;
  text->remove_prefix(length);
  return value;
}

// ".25" as microseconds; nothing beyond the sixth decimal.
std::optional<int64_t> TakeMicro(string_view* text) {
  const size_t before = text->size();
  std::optional<int> value = TakeDigits(text, 1, 6);
  if (!value.has_value()) return std::nullopt;
  int64_t micro = *value;
  for (size_t digits = before - text->size(); digits < 6; ++digits) micro *= 10;
  return micro;
}

}  // namespace

std::optional<Clock> ReadClock(string_view text) {
  if (text == "noon") return Clock{};
  Clock clock;
  const std::optional<int> hour = TakeDigits(&text, 1, 2);
  if (!hour.has_value()) return std::nullopt;
  clock.hour = *hour;
  const bool has_minute = absl::ConsumePrefix(&text, ":") || absl::ConsumePrefix(&text, ".");
  if (has_minute) {
    const std::optional<int> minute = TakeDigits(&text, 2, 2);
    if (!minute.has_value()) return std::nullopt;
    clock.minute = *minute;
    if (absl::ConsumePrefix(&text, ":")) {
      const std::optional<int> second = TakeDigits(&text, 2, 2);
      if (!second.has_value()) return std::nullopt;
      clock.second = *second;
      if (absl::ConsumePrefix(&text, ".")) {
        const std::optional<int64_t> micro = TakeMicro(&text);
        if (!micro.has_value()) return std::nullopt;
        clock.micro = *micro;
      }
    }
  }
  if (text == "am" || text == "pm") {
    if (clock.hour < 1 || clock.hour > 12) return std::nullopt;
    clock.hour = clock.hour % 12 + (text == "pm" ? 12 : 0);
  } else if (!text.empty() || !has_minute) {
    return std::nullopt;
  }
  if (clock.hour > 23 || clock.minute > 59 || clock.second > 59) return std::nullopt;
  return clock;
}

std::optional<int32_t> ReadOffset(string_view text) {
  if (text == "z") return 0;
  const bool west = absl::StartsWith(text, "-");
  if (!west && !absl::StartsWith(text, "+")) return std::nullopt;
  text.remove_prefix(1);
  const std::optional<int> hours = TakeDigits(&text, 2, 2);
  absl::ConsumePrefix(&text, ":");
  const std::optional<int> minutes = text.empty() ? 0 : TakeDigits(&text, 2, 2);
  if (!hours.has_value() || !minutes.has_value() || !text.empty() || *minutes > 59) {
    return std::nullopt;
  }
  const int32_t size = *hours * 60 + *minutes;
  if (size > kMaxUtcOffsetMin) return std::nullopt;
  return west ? -size : size;
}

std::optional<CivilDay> ReadDate(string_view text) {
  const std::optional<int> year = TakeDigits(&text, 4, 4);
  if (!year.has_value() || !absl::ConsumePrefix(&text, "-")) return std::nullopt;
  const std::optional<int> month = TakeDigits(&text, 2, 2);
  if (!month.has_value() || !absl::ConsumePrefix(&text, "-")) return std::nullopt;
  const std::optional<int> day = TakeDigits(&text, 2, 2);
  if (!day.has_value() || !text.empty()) return std::nullopt;
  const CivilDay date(*year, *month, *day);
  if (date.month() != *month || date.day() != *day) return std::nullopt;
  return date;
}

std::optional<absl::Weekday> ReadWeekday(string_view word) {
  static constexpr string_view kNames[] = {"monday", "tuesday",  "wednesday", "thursday",
                                           "friday", "saturday", "sunday"};
  if (word.size() < 3) return std::nullopt;
  if (word == "weds") return absl::Weekday::wednesday;
  for (int i = 0; i < 7; ++i) {
    if (absl::StartsWith(kNames[i], word)) return static_cast<absl::Weekday>(i);
  }
  return std::nullopt;
}

std::optional<Elapsed> ReadElapsed(string_view text) {
  struct Unit {
    string_view names;
    int64_t us;
    int64_t days;
  };
  static constexpr Unit kUnits[] = {
      {"s sec secs second seconds", kSecondUs, 0},
      {"min mins minute minutes", 60 * kSecondUs, 0},
      {"h hr hrs hour hours", 3600 * kSecondUs, 0},
      {"d day days", 0, 1},
      {"w wk wks week weeks", 0, 7},
  };
  Elapsed elapsed{.count = 1};
  if (const std::optional<int> count = TakeDigits(&text, 1, 6)) {
    elapsed.count = *count;
  } else if (!absl::ConsumePrefix(&text, "an")) {
    if (!absl::ConsumePrefix(&text, "a")) return std::nullopt;
  }
  for (const Unit& unit : kUnits) {
    for (const string_view name : absl::StrSplit(unit.names, ' ')) {
      if (name == text) return Elapsed{elapsed.count, unit.us, unit.days};
    }
  }
  return std::nullopt;
}

}  // namespace rundlet
