// Goal: times as people say them are found against a given now and zone, never in the future.
// Method: one Monday in winter and the days of both clock changes in Berlin; refusals; a property:
// the ISO form reads back to the same moment and offset.
#include "core/quantity/when.h"

#include <limits>
#include <string>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "rapidcheck.h"
#include "rapidcheck/gtest.h"

namespace rundlet {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

absl::TimeZone Berlin() {
  absl::TimeZone zone;
  EXPECT_TRUE(absl::LoadTimeZone("Europe/Berlin", &zone)) << "no time zone data here";
  return zone;
}

When At(const absl::CivilSecond& local, const absl::TimeZone& zone) {
  return WhenAt(absl::FromCivil(local, zone), zone);
}

// Monday, 2 March 2026, 10:00 in Berlin (+01:00).
When MondayAtTen() { return At(absl::CivilSecond(2026, 3, 2, 10, 0, 0), Berlin()); }

std::string Iso(absl::string_view text, const When& now, const WhenRules& rules = {}) {
  const absl::StatusOr<When> when = ParseWhen(text, now, Berlin(), rules);
  return when.ok() ? FormatWhenIso(*when) : std::string(when.status().message());
}
std::string Iso(absl::string_view text) { return Iso(text, MondayAtTen()); }

TEST(WhenTest, DaysAndTimes) {
  EXPECT_EQ(Iso("now"), "2026-03-02T10:00:00+01:00");
  EXPECT_EQ(Iso(" Now "), "2026-03-02T10:00:00+01:00");
  EXPECT_EQ(Iso("today"), "2026-03-02T10:00:00+01:00");
  EXPECT_EQ(Iso("today 9:30"), "2026-03-02T09:30:00+01:00");
  EXPECT_EQ(Iso("9:30 today"), "2026-03-02T09:30:00+01:00");
  EXPECT_EQ(Iso("9.30"), "2026-03-02T09:30:00+01:00");
  EXPECT_EQ(Iso("09:30:15"), "2026-03-02T09:30:15+01:00");
  EXPECT_EQ(Iso("9am"), "2026-03-02T09:00:00+01:00");
  EXPECT_EQ(Iso("12am"), "2026-03-02T00:00:00+01:00");
  EXPECT_EQ(Iso("yesterday"), "2026-03-01T12:00:00+01:00");
  EXPECT_EQ(Iso("yesterday 12pm"), "2026-03-01T12:00:00+01:00");
  EXPECT_EQ(Iso("yesterday at 9:30"), "2026-03-01T09:30:00+01:00");
  EXPECT_EQ(Iso("yesterday 2:30 PM"), "2026-03-01T14:30:00+01:00");
  EXPECT_EQ(Iso("2pm yesterday"), "2026-03-01T14:00:00+01:00");
  EXPECT_EQ(Iso("yesterday noon"), "2026-03-01T12:00:00+01:00");
}

TEST(WhenTest, WeekdaysAreTheLastOnes) {
  EXPECT_EQ(Iso("fri"), "2026-02-27T12:00:00+01:00");
  EXPECT_EQ(Iso("on Friday 18:00"), "2026-02-27T18:00:00+01:00");
  EXPECT_EQ(Iso("last fri 18:00"), "2026-02-27T18:00:00+01:00");
  EXPECT_EQ(Iso("tues"), "2026-02-24T12:00:00+01:00");
  EXPECT_EQ(Iso("weds"), "2026-02-25T12:00:00+01:00");
  EXPECT_EQ(Iso("sunday"), "2026-03-01T12:00:00+01:00");
  EXPECT_EQ(Iso("mon"), "2026-03-02T10:00:00+01:00") << "today is a Monday: now";
  EXPECT_EQ(Iso("monday 9:00"), "2026-03-02T09:00:00+01:00");
  EXPECT_EQ(Iso("mon 14:00"), "2026-02-23T14:00:00+01:00") << "today at 14:00 is still to come";
  EXPECT_EQ(Iso("last mon"), "2026-02-23T12:00:00+01:00");
  EXPECT_EQ(Iso("last mon 9:00"), "2026-02-23T09:00:00+01:00");
}

TEST(WhenTest, Ago) {
  EXPECT_EQ(Iso("2h ago"), "2026-03-02T08:00:00+01:00");
  EXPECT_EQ(Iso("2 hours ago"), "2026-03-02T08:00:00+01:00");
  EXPECT_EQ(Iso("an hour ago"), "2026-03-02T09:00:00+01:00");
  EXPECT_EQ(Iso("20 min ago"), "2026-03-02T09:40:00+01:00");
  EXPECT_EQ(Iso("90 s ago"), "2026-03-02T09:58:30+01:00");
  EXPECT_EQ(Iso("3 days ago"), "2026-02-27T12:00:00+01:00");
  EXPECT_EQ(Iso("3 days ago 14:00"), "2026-02-27T14:00:00+01:00");
  EXPECT_EQ(Iso("a week ago"), "2026-02-23T12:00:00+01:00");
  EXPECT_EQ(Iso("0 days ago"), "2026-03-02T10:00:00+01:00");
}

TEST(WhenTest, Ahead) {
  const auto ahead = [](absl::string_view text) {
    const absl::StatusOr<When> when =
        ParseWhen(text, MondayAtTen(), Berlin(), {.allow_future = true});
    return when.ok() ? FormatWhenIso(*when) : std::string(when.status().message());
  };
  EXPECT_EQ(ahead("tomorrow"), "2026-03-03T12:00:00+01:00");
  EXPECT_EQ(ahead("tomorrow at 9:00"), "2026-03-03T09:00:00+01:00");
  EXPECT_EQ(ahead("in 2h"), "2026-03-02T12:00:00+01:00");
  EXPECT_EQ(ahead("in 3 days 14:00"), "2026-03-05T14:00:00+01:00");
  EXPECT_EQ(ahead("in a week"), "2026-03-09T12:00:00+01:00");
  EXPECT_EQ(ahead("next fri 18:00"), "2026-03-06T18:00:00+01:00");
  EXPECT_EQ(ahead("next mon"), "2026-03-09T12:00:00+01:00") << "today is a Monday";
  for (const char* text : {"in", "in 14:00", "in 2h 14:00", "next", "next 14:00", "next last fri"})
    EXPECT_THAT(ahead(text), ::testing::HasSubstr("is not a time known here")) << text;
  const absl::StatusOr<When> happened = ParseWhen("tomorrow", MondayAtTen(), Berlin());
  EXPECT_EQ(happened.status().code(), absl::StatusCode::kOutOfRange) << happened.status();
}

TEST(WhenTest, DatesAndIso) {
  EXPECT_EQ(Iso("2026-03-01"), "2026-03-01T12:00:00+01:00");
  EXPECT_EQ(Iso("2026-03-02"), "2026-03-02T10:00:00+01:00") << "today: now";
  EXPECT_EQ(Iso("2026-03-01 14:00"), "2026-03-01T14:00:00+01:00");
  EXPECT_EQ(Iso("2026-03-01 2:30 pm"), "2026-03-01T14:30:00+01:00");
  EXPECT_EQ(Iso("2026-03-01T14:00"), "2026-03-01T14:00:00+01:00");
  EXPECT_EQ(Iso("2025-07-01 14:00"), "2025-07-01T14:00:00+02:00") << "summer time by the zone";
  EXPECT_EQ(Iso("2026-03-01T14:00:00-05:00"), "2026-03-01T14:00:00-05:00");
  EXPECT_EQ(Iso("2026-03-01t14:00:00z"), "2026-03-01T14:00:00Z");
  EXPECT_EQ(Iso("2026-03-01 14:00 +0545"), "2026-03-01T14:00:00+05:45");
  EXPECT_EQ(Iso("2026-03-01T14:00:00.123456+01:00"), "2026-03-01T14:00:00.123456+01:00");
  EXPECT_EQ(Iso("2026-03-01T14:00:00.25Z"), "2026-03-01T14:00:00.25Z");
  EXPECT_EQ(Iso("2024-02-29"), "2024-02-29T12:00:00+01:00");
  const absl::StatusOr<When> epoch = ParseWhen("1970-01-01T01:00:00+01:00", MondayAtTen());
  ASSERT_TRUE(epoch.ok());
  EXPECT_EQ(*epoch, (When{0, 60}));
}

// Clocks went forward on 2026-03-29 at 02:00 and back on 2025-10-26 at 03:00 in Berlin.
TEST(WhenTest, ClockChanges) {
  const When now = At(absl::CivilSecond(2026, 3, 30, 10, 0, 0), Berlin());
  EXPECT_EQ(Iso("yesterday 1:30", now), "2026-03-29T01:30:00+01:00");
  EXPECT_EQ(Iso("yesterday 2:30", now), "2026-03-29T03:30:00+02:00") << "skipped";
  EXPECT_EQ(Iso("yesterday 3:30", now), "2026-03-29T03:30:00+02:00");
  EXPECT_EQ(Iso("2025-10-26 2:30", now), "2025-10-26T02:30:00+02:00") << "shown twice: the first";
  EXPECT_EQ(Iso("2025-10-26 3:00", now), "2025-10-26T03:00:00+01:00");
  EXPECT_EQ(Iso("2 days ago 10:00", now), "2026-03-28T10:00:00+01:00") << "a day, not 48 hours";
  EXPECT_EQ(Iso("48h ago", now), "2026-03-28T09:00:00+01:00") << "48 hours";
}

TEST(WhenTest, TheFutureIsRefused) {
  EXPECT_THAT(Iso("14:00"), AllOf(HasSubstr("\"14:00\" lies in the future"),
                                  HasSubstr("write \"yesterday 14:00\"")));
  EXPECT_THAT(Iso("today 14:00"), HasSubstr("lies in the future"));
  EXPECT_THAT(Iso("2026-03-03"), HasSubstr("lies in the future"));
  EXPECT_EQ(ParseWhen("14:00", MondayAtTen()).status().code(), absl::StatusCode::kOutOfRange);
  EXPECT_EQ(Iso("10:01"), "2026-03-02T10:01:00+01:00") << "clocks differ by a minute";
  EXPECT_THAT(Iso("10:01:01"), HasSubstr("lies in the future"));
  EXPECT_EQ(Iso("14:00", MondayAtTen(), {.allow_future = true}), "2026-03-02T14:00:00+01:00");
  EXPECT_EQ(Iso("2026-07-01", MondayAtTen(), {.allow_future = true}), "2026-07-01T12:00:00+02:00");
}

TEST(WhenTest, RefusesWhatIsNoTime) {
  EXPECT_THAT(Iso(""), HasSubstr("a time is missing"));
  for (const char* text : {"soon",
                           "14",
                           "25:00",
                           "14:60",
                           "14:5",
                           "13pm",
                           "0am",
                           "2026-02-30",
                           "2026-13-01",
                           "2026-3-2",
                           "3/2/2026",
                           "02.03.2026",
                           "yesterday today",
                           "last",
                           "last yesterday",
                           "mon tue",
                           "ago",
                           "2 months ago",
                           "2h ago 14:00",
                           "14:00 14:00",
                           "2026-03-01T14:00:00.1234567Z",
                           "2026-03-01T14:00+19:00",
                           "2026-03-01T14:00+1",
                           "2026-03-01 +01:00",
                           "2026-03-01T",
                           "now now",
                           "yesterday 14:00Z",
                           "1000000 days ago",
                           "23:59:60"}) {
    const absl::Status status = ParseWhen(text, MondayAtTen(), Berlin()).status();
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument) << text;
    EXPECT_THAT(status.message(), HasSubstr("is not a time known here: write one such as"));
  }
  EXPECT_THAT(Iso("1815-06-18"), HasSubstr("outside the years 1900 to 2199"));
  EXPECT_THAT(Iso("999999 days ago"), HasSubstr("outside the years"));
}

TEST(WhenTest, AClockFarOffIsNotTrusted) {
  for (const When& now :
       {When{std::numeric_limits<int64_t>::min(), 0}, When{std::numeric_limits<int64_t>::max(), 0},
        When{0, INT32_MAX}, When{0, INT32_MIN}}) {
    EXPECT_EQ(ParseWhen("3 days ago", now).status().code(), absl::StatusCode::kOutOfRange);
  }
}

TEST(WhenTest, Prints) {
  const When when{1'772'445'661'250'000, 60};  // 2026-03-02T10:01:01.25Z
  EXPECT_EQ(FormatWhen(when), "2026-03-02 11:01");
  EXPECT_EQ(FormatWhenDay(when), "2026-03-02");
  EXPECT_EQ(FormatWhenIso(when), "2026-03-02T11:01:01.25+01:00");
  EXPECT_EQ(FormatWhenIso({-1, 0}), "1969-12-31T23:59:59.999999Z");
  EXPECT_EQ(FormatWhenIso({0, -210}), "1969-12-31T20:30:00-03:30");
  // Any number prints, whatever it means.
  EXPECT_FALSE(FormatWhenIso({std::numeric_limits<int64_t>::min(), INT32_MIN}).empty());
  EXPECT_FALSE(FormatWhenIso({std::numeric_limits<int64_t>::max(), INT32_MAX}).empty());
}

TEST(WhenTest, OldOffsetsWithSecondsGoDownToWholeMinutes) {
  absl::TimeZone amsterdam;
  ASSERT_TRUE(absl::LoadTimeZone("Europe/Amsterdam", &amsterdam));
  const absl::Time time = absl::FromCivil(absl::CivilSecond(1890, 1, 1), absl::UTCTimeZone());
  const int offset_s = amsterdam.At(time).offset;
  EXPECT_EQ(WhenAt(time, amsterdam).utc_offset_min, offset_s / 60);
  const absl::TimeZone west = absl::FixedTimeZone(-90);
  EXPECT_EQ(WhenAt(time, west).utc_offset_min, -2);
}

constexpr int64_t kDayUs = 86'400'000'000;

RC_GTEST_PROP(WhenProperty, IsoReadsBack, ()) {
  const When when{*rc::gen::inRange<int64_t>(-25'000 * kDayUs, 80'000 * kDayUs),
                  *rc::gen::inRange(-kMaxUtcOffsetMin, kMaxUtcOffsetMin + 1)};
  const absl::StatusOr<When> back =
      ParseWhen(FormatWhenIso(when), When{0, 0}, {.allow_future = true});
  RC_ASSERT(back.ok());
  RC_ASSERT(*back == when);
}

// Whatever is said, no answer lies in the future, and a named weekday is that weekday.
RC_GTEST_PROP(WhenProperty, WeekdaysLieWithinTheLastWeek, ()) {
  const absl::TimeZone zone = Berlin();
  const int64_t at_us = *rc::gen::inRange<int64_t>(0, 40'000 * kDayUs);
  const When now = WhenAt(absl::FromUnixMicros(at_us), zone);
  const int index = *rc::gen::inRange(0, 7);
  static constexpr const char* kNames[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
  const int hour = *rc::gen::inRange(4, 24);  // clear of the clock changes
  const std::string text = std::string(kNames[index]) + " " + std::to_string(hour) + ":00";
  const absl::StatusOr<When> when = ParseWhen(text, now, zone);
  RC_ASSERT(when.ok());
  RC_ASSERT(when->at_us <= now.at_us + 60'000'000);
  RC_ASSERT(when->at_us > now.at_us - 7 * kDayUs - 2 * 3'600'000'000);
  const absl::CivilSecond local = zone.At(absl::FromUnixMicros(when->at_us)).cs;
  RC_ASSERT(absl::GetWeekday(local) == static_cast<absl::Weekday>(index));
  RC_ASSERT(local.hour() == hour);
}

}  // namespace
}  // namespace rundlet
