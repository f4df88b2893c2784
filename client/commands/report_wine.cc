// rundlet report dossier and label: one lot, one bottling.
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "core/reports/dossier.h"
#include "core/reports/label.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

int64_t NowUs(const Session& session) { return absl::ToUnixMicros(session.env.clock()); }

class DossierReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("lot", lot_, "the lot's name")->type_name("LOT")->required();
  }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto lot = FindByName(*cellar.fold, v1::Thing::kLot, lot_);
    if (!lot.ok()) return lot.status();
    return reports::TellDossier(
        *cellar.fold, *lot, NowUs(session),
        [&](const Uuid& id) -> absl::StatusOr<v1::Entry> {
          const auto stored = cellar.store.Find(id);
          if (!stored.ok()) return stored.status();
          return ReadEntry(stored->bytes);
        },
        sink);
  }

 private:
  std::string lot_;
};

class LabelReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("bottling", bottling_, "the bottling run's name")
        ->type_name("BOTTLING")
        ->required();
  }
  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    const auto bottling = FindByName(*cellar.fold, v1::Thing::kBottling, bottling_);
    if (!bottling.ok()) return bottling.status();
    reports::TellLabel(*cellar.fold, *bottling, NowUs(session), sink);
    return absl::OkStatus();
  }

 private:
  std::string bottling_;
};

}  // namespace

std::unique_ptr<Command> MakeReportDossier() { return std::make_unique<DossierReport>(); }
std::unique_ptr<Command> MakeReportLabel() { return std::make_unique<LabelReport>(); }

}  // namespace rundlet::client
