// rundlet report home: what each household made in a year.
#include "absl/strings/str_cat.h"
#include "absl/time/civil_time.h"
#include "client/commands/closing_words.h"
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "core/reports/home.h"

namespace rundlet::client {
namespace {

class HomeReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--year", year_, "the calendar year; this one, if not said")->type_name("YEAR");
  }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const std::string word =
        year_.empty()
            ? absl::StrCat(absl::ToCivilYear(session.env.clock(), session.env.zone).year())
            : year_;
    const auto year = ReadYear("--year", word, session);
    if (!year.ok()) return year.status();
    if (absl::Status status = TellClosings(cellar, *year, sink); !status.ok()) return status;
    return reports::TellHome(
        *cellar.fold, *year, [&](RowId row) { return EntryOfRow(cellar, row); }, sink);
  }

 private:
  std::string year_;
};

}  // namespace

std::unique_ptr<Command> MakeReportHome() { return std::make_unique<HomeReport>(); }

}  // namespace rundlet::client
