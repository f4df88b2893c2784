// rundlet empty: bottles whose wine goes back into vessels.
#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// empty "Harrow White 1" 12 --from "Rack A" --into C2=8.6L
class Empty : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto chosen = choice_.Read(planner);
    if (!chosen.ok()) return chosen.status();
    v1::BottlesEmptied emptied;
    *emptied.mutable_bottles() = chosen->bottles;
    emptied.set_from_bin_id(chosen->found.bin.ToBytes());
    int rests = outflows_.TakesRest() ? 1 : 0;
    for (const std::string& word : into_) {
      const auto amount = planner.ReadVesselAmount(word);
      if (!amount.ok()) return amount.status();
      v1::Fill& fill = *emptied.add_fills();
      fill.set_vessel_id(amount->vessel.ToBytes());
      if (amount->whole) {
        fill.set_rest(true);
        ++rests;
      } else {
        fill.set_volume_ul(amount->volume_ul);
      }
    }
    if (rests > 1)
      return Usage("only one can take the rest: write how much went into which, as in C2=8.6L");
    if (absl::Status status = outflows_.Fill(*emptied.mutable_outflows()); !status.ok())
      return status;
    if (!lot_.empty()) {
      v1::Thing* fresh = nullptr;
      const auto lot = planner.FindOrMake(v1::Thing::kLot, lot_, change, &fresh);
      if (!lot.ok()) return lot.status();
      emptied.set_lot_id(lot->ToBytes());
    }
    change.cautions.push_back(
        "bottles that ferment are under pressure and burst: chill them first, wear goggles and "
        "gloves, open them pointing away");
    change.Add().mutable_bottles_emptied()->Swap(&emptied);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    choice_.Declare(app);
    AddList(app, "--into", into_, "the vessel, with what arrived there: C2=8.6L")
        ->type_name("VESSEL=VOLUME")
        ->required();
    app.add_option("--lot", lot_, "the lot that it is from now on")->type_name("LOT");
    outflows_.Declare(app);
  }

 private:
  BottleChoice choice_;
  std::string lot_;
  std::vector<std::string> into_;
  OutflowWords outflows_;
};

}  // namespace

std::unique_ptr<Command> MakeEmpty() { return std::make_unique<Empty>(); }

}  // namespace rundlet::client
