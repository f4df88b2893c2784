// Goal: calendars keep to RFC 5545, whatever stands in the texts, and say what the plans say.
// Method: a reader written from the RFC alone (sections 3.1 and 3.3.11) takes them apart again.
#include "core/plans/calendar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/plans/plan_text.h"
#include "core/quantity/text.h"
#include "tests/support/cellar_fixture.h"

namespace rundlet::plans {
namespace {

using ::testing::HasSubstr;
using ::testing::SizeIs;

using Properties = std::map<std::string, std::string>;

std::string Unescape(absl::string_view text) {
  std::string plain;
  for (size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '\\') {
      EXPECT_TRUE(text[i] != ',' && text[i] != ';') << "must be escaped in " << text;
      plain += text[i];
      continue;
    }
    ++i;
    EXPECT_LT(i, text.size());
    EXPECT_NE(std::string("\\;,nN").find(text[i]), std::string::npos) << text;
    plain += text[i] == 'n' || text[i] == 'N' ? '\n' : text[i];
  }
  return plain;
}

// The events of a calendar: name with parameters -> raw value.
std::vector<Properties> ReadCalendar(const std::string& text) {
  EXPECT_TRUE(absl::EndsWith(text, "\r\n"));
  std::vector<std::string> lines;
  for (absl::string_view raw : absl::StrSplit(text, "\r\n")) {
    EXPECT_LE(raw.size(), 75u) << raw;
    EXPECT_TRUE(IsUtf8(raw)) << "folded within a character: " << raw;
    EXPECT_EQ(raw.find_first_of("\r\n"), absl::string_view::npos) << "a bare line break";
    if (absl::StartsWith(raw, " ")) {
      lines.back() += std::string(raw.substr(1));
    } else {
      lines.emplace_back(raw);
    }
  }
  EXPECT_EQ(lines.back(), "");
  lines.pop_back();
  EXPECT_EQ(lines.front(), "BEGIN:VCALENDAR");
  EXPECT_EQ(lines.back(), "END:VCALENDAR");
  std::vector<Properties> events;
  bool inside = false;
  Properties head;
  for (size_t i = 1; i + 1 < lines.size(); ++i) {
    if (lines[i] == "BEGIN:VEVENT") {
      EXPECT_FALSE(inside);
      inside = true;
      events.emplace_back();
      continue;
    }
    if (lines[i] == "END:VEVENT") {
      EXPECT_TRUE(inside);
      inside = false;
      continue;
    }
    const std::pair<std::string, std::string> both =
        absl::StrSplit(lines[i], absl::MaxSplits(':', 1));
    EXPECT_TRUE((inside ? events.back() : head).emplace(both).second) << "twice: " << lines[i];
  }
  EXPECT_EQ(head["VERSION"], "2.0");
  EXPECT_NE(head["PRODID"], "");
  return events;
}

TEST(CalendarTest, TextsComeBackWhateverStandsInThem) {
  std::vector<CalendarEvent> events;
  for (const std::string& text :
       {std::string("plain"), std::string("a, b; c \\ d\ne: \"f\""), std::string(300, 'x'),
        std::string("\\\\\\,,,;;;"), std::string("BEGIN:VEVENT\r\nEND:VCALENDAR\n\n")}) {
    for (size_t pad = 0; pad < 80; ++pad) {
      std::string long_text = std::string(pad, '.') + text;
      for (int i = 0; i < 40; ++i) absl::StrAppend(&long_text, "é", "€", "\xF0\x9F\x8D\xB7");
      events.push_back({.uid = absl::StrCat(events.size(), "@rundlet"),
                        .summary = long_text,
                        .description = text,
                        .day = absl::CivilDay(2026, 12, 31)});
    }
  }
  const std::vector<Properties> read =
      ReadCalendar(PrintCalendar("Maud's, and others; cellar", events, 1'772'442'000'000'000));
  ASSERT_EQ(read.size(), events.size());
  for (size_t i = 0; i < events.size(); ++i) {
    std::string expected = events[i].summary;
    expected.erase(std::remove(expected.begin(), expected.end(), '\r'), expected.end());
    EXPECT_EQ(Unescape(read[i].at("SUMMARY")), expected);
    EXPECT_EQ(read[i].at("UID"), events[i].uid);
    EXPECT_EQ(read[i].at("DTSTAMP"), "20260302T090000Z");
    EXPECT_EQ(read[i].at("DTSTART;VALUE=DATE"), "20261231");
    EXPECT_EQ(read[i].at("DTEND;VALUE=DATE"), "20270101");
  }
}

class PlanCalendarTest : public testing::CellarTest {};

TEST_F(PlanCalendarTest, EveryStepThatIsNotOverHasItsDay) {
  Do(phone_.Receive("Riesling", {testing::Fill("C1", 20 * testing::kLitre)}));
  v1::Entry draft;
  *draft.mutable_plan_started() = *ParsePlan(
      "plan: P\nstep a: Yeast, at last\n  dose: yeast = 0.25 g/L\n  who: Maud Ferrier\n  mind: "
      "Air!\n"
      "step b: B\n  when: 3 days after a\nstep c: C\n  when: after start\n"
      "  needs: density at most 0.998\n");
  draft.mutable_plan_started()->set_plan_id(testing::IdOf("plan").ToBytes());
  draft.mutable_plan_started()->set_lot_id(testing::IdOf("Riesling").ToBytes());
  Do(phone_.At(testing::kDawnUs + testing::kDayUs).Write(draft));
  // 2024-01-12 23:30 UTC is the 13th an hour further east.
  const int64_t now_us = testing::kDawnUs + 11 * testing::kDayUs + 930 * testing::kMinuteUs;
  const std::vector<Properties> events = ReadCalendar(PrintCalendar(
      "P", EventsOf(fold_, PlansOf(fold_, now_us), now_us, absl::FixedTimeZone(3600)), now_us));
  ASSERT_THAT(events, SizeIs(3));
  EXPECT_EQ(Unescape(events[0].at("SUMMARY")), "C1 (Riesling): Yeast, at last");
  EXPECT_EQ(events[0].at("DTSTART;VALUE=DATE"), "20240113") << "overdue stands on today";
  EXPECT_EQ(events[0].at("STATUS"), "CONFIRMED");
  EXPECT_EQ(Unescape(events[0].at("DESCRIPTION")),
            "For: Maud Ferrier\nyeast: 5 g into C1\nAir!\nPlan: P, step a");
  EXPECT_EQ(events[1].at("STATUS"), "TENTATIVE");
  EXPECT_THAT(Unescape(events[1].at("DESCRIPTION")), HasSubstr("no reading yet"));
  EXPECT_EQ(events[2].at("DTSTART;VALUE=DATE"), "20240116") << "if a is done today";
  EXPECT_NE(events[0].at("UID"), events[2].at("UID"));

  v1::Entry end;
  end.mutable_plan_ended()->set_plan_id(testing::IdOf("plan").ToBytes());
  Do(phone_.At(now_us).Write(end));
  EXPECT_THAT(EventsOf(fold_, PlansOf(fold_, now_us), now_us, absl::UTCTimeZone()), SizeIs(0));
}

}  // namespace
}  // namespace rundlet::plans
