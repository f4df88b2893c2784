// rundlet gauge: a dip reading; the book follows it.
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"
#include "core/quantity/amount.h"

namespace rundlet::client {
namespace {

class Gauge : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    v1::Gauging gauging;
    gauging.set_vessel_id(vessel->ToBytes());
    if (volume_ != "empty" && volume_ != "0" && volume_ != "0L") {
      const auto volume_ul = ParseVolume(volume_);
      if (!volume_ul.ok()) return volume_ul.status();
      gauging.set_volume_ul(*volume_ul);
    }
    if (!cause_.empty()) {
      const auto account = ParseAccount(cause_, WineOutflowAccounts());
      if (!account.ok()) return account.status();
      gauging.set_cause(*account);
    }
    change.Add().mutable_gauging()->Swap(&gauging);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")->required();
    app.add_option("volume", volume_, "what it holds, as measured: 18.2L, or empty")->required();
    app.add_option("--cause", cause_,
                   "where a shortfall went: evaporation, spill, loss ...; loss if left out");
  }

 private:
  std::string vessel_, volume_, cause_;
};

}  // namespace

std::unique_ptr<Command> MakeGauge() { return std::make_unique<Gauge>(); }

}  // namespace rundlet::client
