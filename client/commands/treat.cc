// rundlet treat: what was done to the wine without adding or moving any.
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/commands/commands.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

class Treat : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    v1::Treatment treatment;
    std::vector<std::string> words;
    for (const auto& [word, kind] : TreatmentVerbs()) {
      words.emplace_back(word);
      if (what_ == word) treatment.set_kind(kind);
    }
    if (treatment.kind() == v1::TREATMENT_KIND_UNSPECIFIED) {
      return Usage(absl::StrCat("'", what_, "' is no treatment that is known here: write ",
                                Enumerate(words)));
    }
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    treatment.set_vessel_id(vessel->ToBytes());
    int32_t minutes = 0;
    if (!minutes_.empty() &&
        (!absl::SimpleAtoi(minutes_, &minutes) || minutes < 1 || minutes > 100'000)) {
      return Usage(absl::StrCat("--minutes: '", minutes_, "' is no number of minutes"));
    }
    treatment.set_duration_min(minutes);
    for (const std::string& name : gear_) {
      const auto gear = planner.Named(v1::Thing::kEquipment, name);
      if (!gear.ok()) return gear.status();
      treatment.add_equipment_ids(gear->ToBytes());
    }
    if (treatment.kind() == v1::TREATMENT_KIND_COVERING_WITH_GAS ||
        treatment.kind() == v1::TREATMENT_KIND_DEGASSING) {
      change.cautions.push_back(
          "gas displaces air: not in a closed room, not with the head in the vessel");
    }
    change.Add().mutable_treatment()->Swap(&treatment);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    app.add_option("what", what_,
                   "degas, stir, chill, warm, filter, turn, punch-down, pump-over, gas")
        ->type_name("degas|stir|chill|warm|filter|turn|punch-down|pump-over|gas")
        ->required();
    app.add_option("--minutes", minutes_, "how long")->type_name("NUMBER");
    AddList(app, "--gear", gear_, "what was used")->type_name("GEAR");
  }

 private:
  std::string vessel_, what_, minutes_;
  std::vector<std::string> gear_;
};

}  // namespace

std::unique_ptr<Command> MakeTreat() { return std::make_unique<Treat>(); }

}  // namespace rundlet::client
