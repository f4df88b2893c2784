#include "client/commands/report_command.h"

#include <CLI/App.hpp>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/time/civil_time.h"
#include "client/cli/planner.h"
#include "client/commands/report_printer.h"

namespace rundlet::client {
namespace {

reports::Period Between(absl::CivilDay first, absl::CivilDay after, const absl::TimeZone& zone) {
  return {.from_us = absl::ToUnixMicros(absl::FromCivil(first, zone)),
          .before_us = absl::ToUnixMicros(absl::FromCivil(after, zone))};
}

}  // namespace

void ReportCommand::Declare(CLI::App& app) {
  app.add_flag("--csv", csv_, "print comma-separated values (RFC 4180)");
  app.add_flag("--json", json_, "print JSON");
  DeclareWords(app);
  standpoint_.Declare(app);
}

absl::Status ReportCommand::Run(Session& session) {
  if (csv_ && json_) return Usage("--csv and --json: choose one");
  const ReportFormat format = csv_    ? ReportFormat::kCsv
                              : json_ ? ReportFormat::kJson
                                      : ReportFormat::kTable;
  const auto printer = MakeReportPrinter(format, session.out(), session.err(), session.columns());
  const auto head = [&](const std::string& sentence) { printer->Head(sentence); };
  const absl::Status told =
      ShowFrom(standpoint_, session, head,
               [&](Cellar& cellar, Session& then) { return Tell(cellar, then, *printer); });
  if (!told.ok()) return told;
  printer->Finish();
  return absl::OkStatus();
}

absl::StatusOr<reports::Period> ReadWholeDay(absl::string_view option, const std::string& word,
                                             const Session& session) {
  const auto when = ParseWhen(word, session.env.Now(), session.env.zone, {.allow_future = true});
  if (!when.ok())
    return absl::Status(when.status().code(), absl::StrCat(option, ": ", when.status().message()));
  const absl::CivilDay day = absl::ToCivilDay(absl::FromUnixMicros(when->at_us), session.env.zone);
  return Between(day, day + 1, session.env.zone);
}

absl::StatusOr<reports::Period> ReadYear(absl::string_view option, const std::string& word,
                                         const Session& session) {
  int year = 0;
  if (!absl::SimpleAtoi(word, &year) || year < 1900 || year > 2199)
    return Usage(absl::StrCat(option, ": '", word, "' is no year, such as 2026"));
  return Between(absl::CivilDay(year, 1, 1), absl::CivilDay(year + 1, 1, 1), session.env.zone);
}

void PeriodWords::Declare(CLI::App& app) {
  app.add_option("--from", from, "the first day that counts; if not said, all from the beginning")
      ->type_name("DAY");
  app.add_option("--until", until,
                 "the last day that counts; if not said, all that is written down")
      ->type_name("DAY");
  app.add_option("--year", year, "a calendar year, in place of both: 2026")->type_name("YEAR");
}

absl::StatusOr<reports::Period> PeriodWords::Read(const Session& session) const {
  if (!year.empty()) {
    if (!from.empty() || !until.empty())
      return Usage("--year stands in place of --from and --until");
    return ReadYear("--year", year, session);
  }
  reports::Period period;
  if (!from.empty()) {
    const auto day = ReadWholeDay("--from", from, session);
    if (!day.ok()) return day.status();
    period.from_us = day->from_us;
  }
  if (!until.empty()) {
    const auto day = ReadWholeDay("--until", until, session);
    if (!day.ok()) return day.status();
    period.before_us = day->before_us;
  }
  if (period.from_us >= period.before_us) return Usage("--until lies before --from");
  return period;
}

}  // namespace rundlet::client
