// rundlet report: what a cellar must be able to show of a period.
#include "absl/strings/str_cat.h"
#include "client/cli/planner.h"
#include "client/commands/closing_words.h"
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "core/reports/additions.h"
#include "core/reports/bottlings.h"
#include "core/reports/losses.h"
#include "core/reports/register.h"

namespace rundlet::client {
namespace {

class RegisterReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    period_.Declare(app);
    app.add_option("--by", by_, "a row each: lot (if not said), class or vessel")
        ->type_name("lot|class|vessel");
  }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto period = period_.Read(session);
    if (!period.ok()) return period.status();
    reports::RegisterBy by = reports::RegisterBy::kLot;
    if (by_ == "class") {
      by = reports::RegisterBy::kClass;
    } else if (by_ == "vessel") {
      by = reports::RegisterBy::kVessel;
    } else if (by_ != "lot" && !by_.empty()) {
      return Usage(absl::StrCat("--by: '", by_, "' is not known here: write lot, class or vessel"));
    }
    if (absl::Status status = TellClosings(cellar, *period, sink); !status.ok()) return status;
    const auto made = reports::MakeRegister(*cellar.fold, *period, by);
    if (!made.ok()) return made.status();
    reports::TellRegister(*made, by, sink);
    return absl::OkStatus();
  }

 private:
  PeriodWords period_;
  std::string by_;
};

class LossesReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override { period_.Declare(app); }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto period = period_.Read(session);
    if (!period.ok()) return period.status();
    if (absl::Status status = TellClosings(cellar, *period, sink); !status.ok()) return status;
    return reports::TellLosses(*cellar.fold, *period, sink);
  }

 private:
  PeriodWords period_;
};

// A report that cannot fail once its period is read.
template <void (*kTell)(const Fold&, const reports::Period&, reports::Sink&)>
class PeriodReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override { period_.Declare(app); }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto period = period_.Read(session);
    if (!period.ok()) return period.status();
    if (absl::Status status = TellClosings(cellar, *period, sink); !status.ok()) return status;
    kTell(*cellar.fold, *period, sink);
    return absl::OkStatus();
  }

 private:
  PeriodWords period_;
};

}  // namespace

std::unique_ptr<Command> MakeReportRegister() { return std::make_unique<RegisterReport>(); }
std::unique_ptr<Command> MakeReportLosses() { return std::make_unique<LossesReport>(); }
std::unique_ptr<Command> MakeReportAdditions() {
  return std::make_unique<PeriodReport<reports::TellAdditions>>();
}
std::unique_ptr<Command> MakeReportBottlings() {
  return std::make_unique<PeriodReport<reports::TellBottlings>>();
}

}  // namespace rundlet::client
