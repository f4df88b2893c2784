// Goal: the book can be looked at from any moment, as known then and as known now. Method: command
// lines in this process, with a clock that is put forward; what was printed at a moment is kept and
// compared, byte for byte, with what is printed of that moment later.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/cellar/standpoint.h"
#include "client/cli/json.h"
#include "client/testing/test_cellar.h"
#include "core/view/board.h"

namespace rundlet::client {
namespace {

using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

class PastTest : public ::testing::Test {
 protected:
  PastTest() {
    cellar_.SetClock("2026-03-02T10:00:00+01:00");
    cellar_.Do("vessel new C1 C2 C3 --capacity 25L");
    cellar_.Do("bin new 'Rack A'");
    cellar_.Do("receive juice 20L --into C1 --lot Harrow");
    cellar_.SetClock("2026-03-04T10:00:00+01:00");
    cellar_.Do("rack C1 C2 --lees 1L");
    cellar_.Do("read C2 sg=1.020");
  }

  // What a view prints, without the sentence above it and the empty line after that.
  static std::string Body(const std::string& out) {
    const size_t end = out.find("\n\n");
    return end == std::string::npos ? out : out.substr(end + 2);
  }

  TestCellar cellar_;
};

TEST_F(PastTest, TheBoardKnownThenIsTheBoardPrintedThen) {
  cellar_.SetClock("2026-03-05T12:00:00+01:00");
  const std::string board = cellar_.Do("board --stock --retired").out;
  const std::string inventory = cellar_.Do("report inventory").out;
  const std::string lot = cellar_.Do("show Harrow").out;

  // Later it comes out that something was forgotten, something was wrong, something is called
  // otherwise.
  cellar_.SetClock("2026-03-09T09:00:00+01:00");
  cellar_.Do("draw sample C1 100mL --at '2026-03-03 12:00'");
  cellar_.Do("vessel change C2 --name Tun");
  cellar_.Do("vessel new C9 --capacity 5L");
  cellar_.Do("top C3 --from Tun=2L");
  const std::string log = cellar_.Do("log Tun --json").out;
  const size_t reading = log.find("\"kind\":\"reading\"");
  ASSERT_NE(reading, std::string::npos) << log;
  const size_t id = log.rfind("\"entry_id\":\"", reading) + 12;
  cellar_.Do("void " + log.substr(id, 36) + " --reason 'read the wrong scale'");
  ASSERT_NE(cellar_.Do("board --stock --retired").out, board);

  for (const char* then : {"'2026-03-05 12:00'", "2026-03-05", "2026-03-08"}) {
    const auto past = cellar_.Do(std::string("board --stock --retired --known-at ") + then);
    EXPECT_THAT(past.out, StartsWith("the cellar as it was known at "));
    EXPECT_EQ(Body(past.out), board) << then;
  }
  EXPECT_EQ(Body(cellar_.Do("report inventory --known-at 2026-03-05").out), inventory);
  EXPECT_EQ(Body(cellar_.Do("show Harrow --known-at '2026-03-05 12:00'").out), lot);
  EXPECT_NE(Body(cellar_.Do("board --stock --retired --known-at 2026-03-09").out), board);
}

TEST_F(PastTest, TheBoardAsOfThenIsThatOfTheEntriesUpToThere) {
  cellar_.SetClock("2026-03-09T09:00:00+01:00");
  cellar_.Do("draw sample C1 100mL --at '2026-03-03 12:00'");  // forgotten: it happened before
  cellar_.Do("rack C2 C3 --lees 0.5L");                        // after
  const std::string out = cellar_.Do("board --json --as-of 2026-03-04").out;

  const int64_t until_us = 1772665200'000'000;  // 2026-03-05 00:00 at +01:00
  Store store = cellar_.OpenStore();
  Fold fold;
  size_t left_out = 0;
  ASSERT_TRUE(store
                  .ForEach(0,
                           [&](const StoredEntry& stored) {
                             const auto entry = ReadEntry(stored.bytes);
                             if (entry->effective_at_us() < until_us) {
                               fold.Insert(*entry);
                             } else {
                               ++left_out;
                             }
                             return absl::OkStatus();
                           })
                  .ok());
  fold.Settle();
  ASSERT_EQ(left_out, 1u) << "one racking is later";
  v1::Board board = MakeBoard(fold, {.with_digest = true});
  board.set_cellar_name("Thistledown Wine Circle");
  EXPECT_EQ(out, ProtoJson(board) + "\n");
  EXPECT_THAT(cellar_.Do("board --as-of 2026-03-04").out, HasSubstr("18.9 L"))
      << "the forgotten sample counts, as it is known now";
  EXPECT_THAT(cellar_.Do("board --as-of 2026-03-04 --known-at 2026-03-04").out,
              ContainsRegex("C2 +19 L"));
  EXPECT_THAT(cellar_.Do("board --as-of '2026-03-02 12:00'").out, ContainsRegex("C1 +20 L"));
}

TEST_F(PastTest, WhatCountsNoLongerIsNotThereAsKnownNow) {
  cellar_.SetClock("2026-03-09T09:00:00+01:00");
  const std::string log = cellar_.Do("log C2 --json").out;
  const size_t racking = log.find("\"kind\":\"racking\"");
  const std::string id = log.substr(log.rfind("\"entry_id\":\"", racking) + 12, 36);
  cellar_.Do("amend " + id + " --reason misread -- rack C1 C2 --lees 2L");
  EXPECT_THAT(cellar_.Do("board --as-of 2026-03-05").out, ContainsRegex("C2 +18 L"));
  EXPECT_THAT(cellar_.Do("board --known-at 2026-03-05").out, ContainsRegex("C2 +19 L"));
}

TEST_F(PastTest, AThingIsThereWhereAnEntryDatedBeforeNamesIt) {
  cellar_.SetClock("2026-03-09T09:00:00+01:00");
  cellar_.Do("vessel new C7 C8 --capacity 25L");
  cellar_.Do("receive juice 5L --into C7 --lot Fenwick --at 2026-03-03");
  const std::string then = cellar_.Do("board --as-of 2026-03-05").out;
  EXPECT_THAT(then, ContainsRegex("C7 +5 L"));
  EXPECT_THAT(then, HasSubstr("Fenwick"));
  EXPECT_THAT(then, Not(HasSubstr("C8"))) << "nobody had it yet";
  EXPECT_THAT(cellar_.Do("board").out, HasSubstr("C8"));
}

TEST_F(PastTest, ReportsSayWhatTheyShowAndKeepTheirFormat) {
  cellar_.SetClock("2026-03-09T09:00:00+01:00");
  cellar_.Do("draw sample C2 100mL");
  const auto csv = cellar_.Do("report inventory --as-of 2026-03-04 --csv");
  EXPECT_THAT(csv.out, StartsWith("Where,"));
  EXPECT_THAT(csv.err, HasSubstr("note: the cellar as of the end of 2026-03-04"));
  EXPECT_EQ(csv.out, cellar_.Do("report inventory --on 2026-03-04 --csv").out);
  EXPECT_EQ(cellar_.Do("report inventory --known-at 2026-03-04 --csv").out,
            cellar_.Do("report inventory --as-known-on 2026-03-04 --csv").out);
  EXPECT_THAT(cellar_.Do("report inventory --as-of 2026-03-04 --json").out,
              HasSubstr("\"head\":[\"the cellar as of the end of 2026-03-04, by all that is known "
                        "now\"]"));
  EXPECT_THAT(cellar_.Do("report inventory --as-of 2026-03-04").out,
              StartsWith("the cellar as of the end of 2026-03-04, by all that is known now\n\n"));
  for (const char* view : {"trace back Harrow", "check", "costs Harrow", "log", "held", "due"})
    EXPECT_EQ(cellar_.Run(std::string(view) + " --as-of 2026-03-04").exit_code, 0) << view;
}

TEST_F(PastTest, WhatShowsNoBookRefuses) {
  for (const char* line : {"status --as-of yesterday", "audit --known-at yesterday",
                           "sync --as-of yesterday", "rack C2 C3 --as-of yesterday"}) {
    const auto refused = cellar_.Run(line);
    EXPECT_EQ(refused.exit_code, 2) << line;
    EXPECT_THAT(refused.err, HasSubstr("go with commands that show the book")) << line;
  }
  EXPECT_EQ(cellar_.Run("board --as-of soon").exit_code, 2);
}

TEST(StandpointTest, AnEntryIsKnownFromWhenTheServerTookItIn) {
  v1::Entry entry;
  entry.set_written_at_us(1000);
  StoredEntry stored;
  EXPECT_EQ(KnownSinceUs(stored, entry), 1000) << "no server has it yet";
  stored.received_at_us = 5000;
  EXPECT_EQ(KnownSinceUs(stored, entry), 5000);
}

}  // namespace
}  // namespace rundlet::client
