// rundlet report inventory: what was there at the end of a day, as known now or as known then.
#include "absl/strings/str_cat.h"
#include "client/cellar/standpoint.h"
#include "client/commands/closing_words.h"
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "core/reports/inventory.h"

namespace rundlet::client {
namespace {

class InventoryReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--on", on_,
                   "at the end of this day; if not said, after all that is written down")
        ->type_name("DAY");
    app.add_option("--as-known-on", known_on_,
                   "only by what was written down until the end of this day")
        ->type_name("DAY");
  }

  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    reports::Period until;
    if (!on_.empty()) {
      const auto day = ReadWholeDay("--on", on_, session);
      if (!day.ok()) return day.status();
      until = *day;
    }
    if (absl::Status status = TellClosings(cellar, {.before_us = until.before_us}, sink);
        !status.ok())
      return status;
    if (known_on_.empty()) {
      reports::TellInventory(*cellar.fold, until.before_us, sink);
      return absl::OkStatus();
    }
    const auto known = ReadWholeDay("--as-known-on", known_on_, session);
    if (!known.ok()) return known.status();
    if (absl::Status looked = LookFrom({.known_us = known->before_us - 1}, cellar); !looked.ok())
      return looked;
    reports::TellInventory(*cellar.fold, until.before_us, sink);
    sink.Note(
        "known then is what the server had taken in until then; an entry that it has not got yet "
        "is "
        "known from when it was written, by the clock of its device");
    return absl::OkStatus();
  }

 private:
  std::string on_, known_on_;
};

}  // namespace

std::unique_ptr<Command> MakeReportInventory() { return std::make_unique<InventoryReport>(); }

}  // namespace rundlet::client
