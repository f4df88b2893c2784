// Goal: a reader of calendars that knows nothing of wine takes ours as they were meant.
// Method: icalendar, a parser for Python (Debian package "python3-icalendar"), reads calendars of
// built-in plans and of hostile texts, and prints what it read in hexadecimal digits.
#include "core/plans/calendar.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <string>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/time/civil_time.h"
#include "core/plans/plan_text.h"
#include "core/plans/templates.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::testing {
namespace {

constexpr char kReader[] = R"(
import sys, icalendar
calendar = icalendar.Calendar.from_ical(open(sys.argv[1], "rb").read())
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    fields = [str(event["UID"]), event.decoded("DTSTART").isoformat(),
              event.decoded("DTEND").isoformat(), event.decoded("DTSTAMP").isoformat(),
              str(event["SUMMARY"]), str(event["DESCRIPTION"]), str(event["STATUS"])]
    print(" ".join(field.encode().hex() for field in fields))
)";

using Fields = std::vector<std::string>;

// What the parser makes of a calendar; fails the test where it refuses it.
std::vector<Fields> ReadByParser(const std::string& text) {
  const std::string folder = ::testing::TempDir();
  const std::string calendar = absl::StrCat(folder, "rundlet-", getpid(), ".ics");
  const std::string reader = absl::StrCat(folder, "rundlet-", getpid(), ".py");
  std::ofstream(calendar, std::ios::binary) << text;
  std::ofstream(reader) << kReader;
  std::string output;
  const std::string command = absl::StrCat("/usr/bin/python3 '", reader, "' '", calendar, "' 2>&1");
  if (FILE* pipe = popen(command.c_str(), "r"); pipe != nullptr) {
    char buffer[1 << 16];
    while (const size_t size = std::fread(buffer, 1, sizeof buffer, pipe))
      output.append(buffer, size);
    EXPECT_EQ(pclose(pipe), 0) << "is the package python3-icalendar installed?\n" << output;
  }
  std::remove(calendar.c_str());
  std::remove(reader.c_str());
  std::vector<Fields> events;
  for (const absl::string_view line : absl::StrSplit(output, '\n', absl::SkipEmpty())) {
    Fields& fields = events.emplace_back();
    for (const absl::string_view field : absl::StrSplit(line, ' '))
      fields.push_back(absl::HexStringToBytes(field));
  }
  return events;
}

void ExpectRead(const std::vector<plans::CalendarEvent>& events, int64_t stamp_us,
                const std::string& stamp) {
  const std::vector<Fields> read =
      ReadByParser(plans::PrintCalendar("Thistledown; cellar, of all", events, stamp_us));
  ASSERT_EQ(read.size(), events.size());
  for (size_t i = 0; i < events.size(); ++i) {
    ASSERT_EQ(read[i].size(), 7u);
    EXPECT_EQ(read[i][0], events[i].uid);
    EXPECT_EQ(read[i][1], absl::FormatCivilTime(events[i].day));
    EXPECT_EQ(read[i][2], absl::FormatCivilTime(events[i].day + 1));
    EXPECT_EQ(read[i][3], stamp);
    EXPECT_EQ(read[i][4], events[i].summary);
    EXPECT_EQ(read[i][5], events[i].description);
    EXPECT_EQ(read[i][6], events[i].tentative ? "TENTATIVE" : "CONFIRMED");
  }
}

TEST(CalendarOutsideTest, BuiltInPlans) {
  TestDevice phone("phone");
  Fold fold;
  fold.Insert(phone.RegisterVessel("C1").entry);
  fold.Insert(phone.RegisterLot("Elder").entry);
  fold.Insert(phone.Receive("Elder", {Fill("C1", 20 * kLitre)}).entry);
  for (const plans::TemplateText& text : plans::Templates()) {
    v1::Entry draft;
    *draft.mutable_plan_started() = *plans::ParsePlan(text.text);
    draft.mutable_plan_started()->set_plan_id(IdOf(text.name).ToBytes());
    draft.mutable_plan_started()->set_lot_id(IdOf("Elder").ToBytes());
    fold.Insert(phone.Write(draft).entry);
  }
  fold.Settle();
  const int64_t now_us = kDawnUs + 3 * kDayUs;
  const auto events =
      plans::EventsOf(fold, plans::PlansOf(fold, now_us), now_us, absl::UTCTimeZone());
  EXPECT_GT(events.size(), 40u);
  ExpectRead(events, now_us, "2024-01-04T08:00:00+00:00");
}

TEST(CalendarOutsideTest, HostileTexts) {
  std::vector<plans::CalendarEvent> events;
  for (const char* text :
       {"a, b; c: \"d\" e", "Émile's rosé: 5 €", "line\nline\n\nline", "100 % \\ done",
        "END:VEVENT\nEND:VCALENDAR", ";;;,,,:::===", "\xF0\x9F\x8D\xB7"}) {
    for (size_t pad = 0; pad < 78; ++pad) {
      events.push_back({.uid = absl::StrCat("id-", events.size(), "@rundlet"),
                        .summary = absl::StrCat(std::string(pad, 'x'), text, "é€\xF0\x9F\x8D\xB7",
                                                std::string(100, 'y')),
                        .description = absl::StrCat(text, "."),
                        .day = absl::CivilDay(2027, 2, 28),
                        .tentative = pad % 2 == 0});
    }
  }
  ExpectRead(events, kDawnUs, "2024-01-01T08:00:00+00:00");
}

}  // namespace
}  // namespace rundlet::testing
