// rundlet draw: a sample, a spill, a dump, a glass poured from the cask.
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"
#include "core/quantity/amount.h"

namespace rundlet::client {
namespace {

class Draw : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto account = ParseAccount(reason_, WineOutflowAccounts());
    if (!account.ok()) return account.status();
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    v1::Withdrawal withdrawal;
    withdrawal.set_account(*account);
    withdrawal.set_person(person_);
    withdrawal.mutable_draw()->set_vessel_id(vessel->ToBytes());
    if (amount_ == "all") {
      withdrawal.mutable_draw()->set_all(true);
    } else {
      const auto volume_ul = ParseVolume(amount_);
      if (!volume_ul.ok()) return volume_ul.status();
      withdrawal.mutable_draw()->set_volume_ul(*volume_ul);
    }
    change.Add().mutable_withdrawal()->Swap(&withdrawal);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("reason", reason_,
                   "sample, spill, dump, lees, loss, served, sold, gift, share, donated")
        ->type_name("sample|spill|dump|lees|loss|served|sold|gift|share|donated")
        ->required();
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    app.add_option("amount", amount_, "how much: 100mL, or all")
        ->type_name("VOLUME|all")
        ->required();
    app.add_option("--person", person_, "who got it")->type_name("MEMBER");
  }

 private:
  std::string reason_, vessel_, amount_, person_;
};

}  // namespace

std::unique_ptr<Command> MakeDraw() { return std::make_unique<Draw>(); }

}  // namespace rundlet::client
