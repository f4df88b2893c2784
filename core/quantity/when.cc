#include "core/quantity/when.h"

#include <algorithm>
#include <optional>
#include <vector>

#include "absl/status/status.h"
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "absl/time/civil_time.h"
#include "core/quantity/text.h"
#include "core/quantity/when_parts.h"

namespace rundlet {
namespace {

using absl::CivilDay;
using absl::CivilSecond;
using absl::string_view;

constexpr int64_t kMinuteUs = 60'000'000;
constexpr int64_t kAheadUs = kMinuteUs;  // by which clocks may differ

// What the words say, before it is set against now.
struct Spoken {
  std::optional<CivilDay> day;
  bool is_weekday = false;
  std::optional<Clock> clock;
  std::optional<int32_t> utc_offset_min;
};

class Reader {
 public:
  Reader(string_view text, const When& now, const absl::TimeZone& zone, const WhenRules& rules)
      : text_(text),
        now_(now),
        zone_(zone),
        rules_(rules),
        today_(zone.At(absl::FromUnixMicros(now.at_us)).cs) {}

  absl::StatusOr<When> Read() const {
    if (!InRange(now_) || now_.utc_offset_min < -kMaxUtcOffsetMin ||
        now_.utc_offset_min > kMaxUtcOffsetMin) {
      return absl::OutOfRangeError("the clock of this device is far off: set it, and try again");
    }
    const std::vector<std::string> words = Words();
    if (words.empty()) {
      return absl::InvalidArgumentError("a time is missing: write one, such as yesterday 14:00");
    }
    if (words.size() == 1 && words[0] == "now") return now_;
    for (size_t i = 0; i < words.size(); ++i) {
      if (words[i] == "ago") return ReadElapsedDays(Join(words, 0, i), -1, Rest(words, i + 1));
    }
    if (words[0] == "in") return ReadAhead(words);
    const std::optional<Spoken> spoken = absl::ascii_isdigit(words[0][0]) && words[0].find('-') == 4
                                             ? ReadDated(words)
                                             : ReadDayAndClock(words);
    if (!spoken.has_value()) return NotATime();
    return Resolve(*spoken);
  }

 private:
  // Lower case; the "T" of a date and time is a space; "at" and "on" say nothing.
  std::vector<std::string> Words() const {
    std::string tidy = absl::AsciiStrToLower(Tidy(text_));
    if (tidy.size() > 11 && tidy[4] == '-' && tidy[10] == 't') tidy[10] = ' ';
    std::vector<std::string> words;
    for (const string_view word : absl::StrSplit(tidy, ' ', absl::SkipEmpty())) {
      if (word != "at" && word != "on") words.emplace_back(word);
    }
    return words;
  }

  static std::string Join(const std::vector<std::string>& words, size_t from, size_t to) {
    return absl::StrJoin(words.begin() + from, words.begin() + to, "");
  }

  static std::string Rest(const std::vector<std::string>& words, size_t from) {
    return Join(words, from, words.size());
  }

  // "in 2 h", "in 3 days 14:00".
  absl::StatusOr<When> ReadAhead(const std::vector<std::string>& words) const {
    if (ReadElapsed(Rest(words, 1)).has_value()) return ReadElapsedDays(Rest(words, 1), 1, "");
    if (words.size() < 3) return NotATime();
    return ReadElapsedDays(Join(words, 1, words.size() - 1), 1, words.back());
  }

  // So much before (-1) or after (1) now; days may have a time of their own.
  absl::StatusOr<When> ReadElapsedDays(const std::string& text, int sign,
                                       const std::string& clock) const {
    const std::optional<Elapsed> elapsed = ReadElapsed(text);
    if (!elapsed.has_value()) return NotATime();
    if (elapsed->unit_days == 0) {
      if (!clock.empty()) return NotATime();
      return Checked(WhenAt(
          absl::FromUnixMicros(now_.at_us + sign * elapsed->count * elapsed->unit_us), zone_));
    }
    Spoken spoken{.day = today_ + sign * elapsed->count * elapsed->unit_days};
    if (!clock.empty()) {
      spoken.clock = ReadClock(clock);
      if (!spoken.clock.has_value()) return NotATime();
    }
    return Resolve(spoken);
  }

  static std::optional<Spoken> ReadDated(const std::vector<std::string>& words) {
    Spoken spoken{.day = ReadDate(words[0])};
    if (!spoken.day.has_value()) return std::nullopt;
    if (words.size() == 1) return spoken;
    const std::string joined = Join(words, 1, words.size());
    const string_view rest = joined;
    const size_t end = rest.find_first_of("z+-");
    spoken.clock = ReadClock(rest.substr(0, end));
    if (!spoken.clock.has_value()) return std::nullopt;
    if (end != string_view::npos) {
      spoken.utc_offset_min = ReadOffset(rest.substr(end));
      if (!spoken.utc_offset_min.has_value()) return std::nullopt;
    }
    return spoken;
  }

  // A day, a time, or both in either order.
  std::optional<Spoken> ReadDayAndClock(const std::vector<std::string>& words) const {
    Spoken spoken;
    bool last = false, next = false;
    std::string clock;
    for (const std::string& word : words) {
      const std::optional<absl::Weekday> weekday = ReadWeekday(word);
      const bool names_day =
          word == "today" || word == "yesterday" || word == "tomorrow" || weekday.has_value();
      if ((word == "last" || word == "next") && !last && !next && !spoken.day.has_value()) {
        (word == "last" ? last : next) = true;
      } else if (!names_day) {
        clock += word;
      } else if (spoken.day.has_value()) {
        return std::nullopt;
      } else if (weekday.has_value()) {
        spoken.is_weekday = true;
        spoken.day = next   ? absl::NextWeekday(today_, *weekday)
                     : last ? absl::PrevWeekday(today_, *weekday)
                            : absl::PrevWeekday(today_ + 1, *weekday);
      } else {
        spoken.day = word == "today" ? today_ : word == "tomorrow" ? today_ + 1 : today_ - 1;
      }
    }
    if ((last || next) && !spoken.is_weekday) return std::nullopt;
    if (!clock.empty()) {
      spoken.clock = ReadClock(clock);
      if (!spoken.clock.has_value()) return std::nullopt;
    }
    return spoken;
  }

  absl::StatusOr<When> Resolve(const Spoken& spoken) const {
    CivilDay day = spoken.day.value_or(today_);
    if (!spoken.clock.has_value() && day == today_) return now_;
    const Clock clock = spoken.clock.value_or(Clock{});
    When when = Locate(day, clock, spoken.utc_offset_min);
    if (spoken.is_weekday && day == today_ && IsAhead(when)) {
      when = Locate(day - 7, clock, spoken.utc_offset_min);
    }
    const bool only_clock = !spoken.day.has_value();
    return Checked(when, only_clock);
  }

  When Locate(CivilDay day, const Clock& clock, std::optional<int32_t> offset_min) const {
    const CivilSecond local(day.year(), day.month(), day.day(), clock.hour, clock.minute,
                            clock.second);
    if (offset_min.has_value()) {
      const int64_t seconds = local - CivilSecond(1970, 1, 1) - int64_t{*offset_min} * 60;
      return When{seconds * 1'000'000 + clock.micro, *offset_min};
    }
    // `pre` is by the offset before a change, for skipped and repeated local times alike.
    const absl::Time time = zone_.At(local).pre + absl::Microseconds(clock.micro);
    return WhenAt(time, zone_);
  }

  bool IsAhead(const When& when) const { return when.at_us > now_.at_us + kAheadUs; }

  static bool InRange(const When& when) {
    const absl::TimeZone utc = absl::UTCTimeZone();
    return when.at_us >= absl::ToUnixMicros(absl::FromCivil(CivilSecond(1900, 1, 1), utc)) &&
           when.at_us < absl::ToUnixMicros(absl::FromCivil(CivilSecond(2200, 1, 1), utc));
  }

  absl::StatusOr<When> Checked(const When& when, bool only_clock = false) const {
    if (!InRange(when)) {
      return absl::OutOfRangeError(
          absl::StrCat(Quoted(text_), " lies outside the years 1900 to 2199: check the date"));
    }
    if (!rules_.allow_future && IsAhead(when)) {
      return absl::OutOfRangeError(absl::StrCat(
          Quoted(text_), " lies in the future (", FormatWhen(when), "; now it is ",
          FormatWhen(WhenAt(absl::FromUnixMicros(now_.at_us), zone_)), "): ",
          only_clock ? absl::StrCat("write ", Quoted(absl::StrCat("yesterday ", Tidy(text_))),
                                    " if that is meant")
                     : "write the time at which it happened"));
    }
    return when;
  }

  absl::Status NotATime() const {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text_),
                     " is not a time known here: write one such as now, 14:00, "
                     "yesterday 9:30, mon 14:00, 3 days ago or 2026-03-02 14:00"));
  }

  string_view text_;
  const When& now_;
  const absl::TimeZone& zone_;
  const WhenRules& rules_;
  CivilDay today_;
};

}  // namespace

absl::StatusOr<When> ParseWhen(string_view text, const When& now, const absl::TimeZone& zone,
                               const WhenRules& rules) {
  return Reader(text, now, zone, rules).Read();
}

absl::StatusOr<When> ParseWhen(string_view text, const When& now, const WhenRules& rules) {
  // An impossible offset is refused by the reader; here it must only not overflow.
  const int32_t offset_min = std::clamp(now.utc_offset_min, -kMaxUtcOffsetMin, kMaxUtcOffsetMin);
  return ParseWhen(text, now, absl::FixedTimeZone(offset_min * 60), rules);
}

When WhenAt(absl::Time time, const absl::TimeZone& zone) {
  const int offset_s = zone.At(time).offset;
  const int rest = (offset_s % 60 + 60) % 60;
  return When{absl::ToUnixMicros(time), (offset_s - rest) / 60};
}

}  // namespace rundlet
