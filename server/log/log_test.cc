// Goal: an event is one well-formed line, whatever its fields hold, and shows no secret.
// Method: exact lines at a fixed time; hostile values; many threads into one collecting sink.
#include "server/log/log.h"

#include <string>
#include <thread>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

constexpr char kHead[] = "time=2025-11-25T09:30:00.000250Z level=info event=push";

absl::Time FixedTime() {
  return absl::FromCivil(absl::CivilSecond(2025, 11, 25, 9, 30, 0), absl::UTCTimeZone()) +
         absl::Microseconds(250);
}

std::string LineWith(FieldValue value) {
  return FormatLogLine(FixedTime(), Level::kInfo, "push", {{"v", std::move(value)}});
}

TEST(LogTest, OneLineOfKeysAndValues) {
  const std::string line = FormatLogLine(FixedTime(), Level::kInfo, "push",
                                         {{"cellar", "0190163d-8694-739b-aea5-966c26f8ad91"},
                                          {"entries", 12},
                                          {"took", absl::Milliseconds(3)},
                                          {"again", false},
                                          {"error", absl::UnavailableError("no database")}});
  EXPECT_EQ(line, absl::StrCat(kHead,
                               " cellar=0190163d-8694-739b-aea5-966c26f8ad91 entries=12 took=3ms "
                               "again=false error=\"UNAVAILABLE: no database\"\n"));
}

TEST(LogTest, HostileValuesStayInsideTheirQuotes) {
  const auto expect_value = [](absl::string_view value, absl::string_view written) {
    EXPECT_EQ(LineWith(value), absl::StrCat(kHead, " v=", written, "\n"));
  };
  expect_value("", "\"\"");
  expect_value("two words", "\"two words\"");
  expect_value("a=b", "\"a=b\"");
  expect_value("say \"now\"", R"("say \"now\"")");
  expect_value("back\\slash", R"("back\\slash")");
  expect_value("line\nlevel=error", R"("line\nlevel=error")");
  expect_value("\x1b[31m", R"("\x1b[31m")");
  expect_value("Grüner", "\"Grüner\"");
  expect_value("\xff\xc3", R"("\xff\xc3")");
  expect_value("\xc2\x9b", R"("\xc2\x9b")");          // U+009B starts a terminal escape
  expect_value("\xe0\x80\x8a", R"("\xe0\x80\x8a")");  // over-long line break
}

TEST(LogTest, KeysCannotForgeFields) {
  EXPECT_EQ(FormatLogLine(FixedTime(), Level::kInfo, "push", {{"a b=c", 1}}),
            absl::StrCat(kHead, " a_b_c=1\n"));
}

TEST(LogTest, FieldsNamedAsSecretsAreWithheld) {
  const std::string line = FormatLogLine(FixedTime(), Level::kInfo, "push",
                                         {{"token", "rdl_s3cr3t"}, {"Db_Password", "s3cr3t"}});
  EXPECT_EQ(line, absl::StrCat(kHead, " token=withheld Db_Password=withheld\n"));
}

TEST(LogTest, LinesOfManyThreadsAreWholeAndFiltered) {
  std::string written;
  ConfigureLog({.min_level = Level::kWarning,
                .now = FixedTime,
                .write = [&written](absl::string_view line) { absl::StrAppend(&written, line); }});
  std::vector<std::thread> threads;
  for (int t = 0; t < 4; ++t) {
    threads.emplace_back([t] {
      for (int i = 0; i < 250; ++i) {
        Log(Level::kWarning, "held", {{"thread", t}, {"i", i}});
        Log(Level::kInfo, "push", {{"thread", t}});
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  ConfigureLog({});

  const std::vector<std::string> lines = absl::StrSplit(written, '\n', absl::SkipEmpty());
  EXPECT_EQ(lines.size(), 1000u);
  for (const std::string& line : lines) {
    EXPECT_TRUE(absl::StartsWith(line, "time=2025-11-25T09:30:00.000250Z level=warning event=held"))
        << line;
  }
}

}  // namespace
}  // namespace rundlet::server
