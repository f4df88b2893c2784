// rundlet receive: what comes in as wine or to become wine.
#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/commands/commands.h"
#include "client/commands/lot_notes.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"

namespace rundlet::client {
namespace {

constexpr std::pair<const char*, v1::InflowKind> kKinds[] = {
    {"juice", v1::INFLOW_KIND_JUICE},
    {"must", v1::INFLOW_KIND_MUST},
    {"concentrate", v1::INFLOW_KIND_CONCENTRATE},
    {"fruit", v1::INFLOW_KIND_FRUIT},
    {"wine", v1::INFLOW_KIND_BULK_WINE}};

absl::StatusOr<v1::InflowKind> ParseKind(const std::string& word) {
  std::vector<std::string> words;
  for (const auto& [name, kind] : kKinds) {
    if (word == name) return kind;
    words.emplace_back(name);
  }
  return Usage(absl::StrCat("what came in? '", word, "' is none of ", Enumerate(words)));
}

class Receive : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", what_, "juice, must, concentrate, fruit (crushed) or wine")
        ->type_name("juice|must|concentrate|fruit|wine")
        ->required();
    app.add_option("volume", volume_,
                   "how much, as measured: 20L; may be left out when --into says it")
        ->type_name("VOLUME");
    AddList(app, "--into", into_, "the vessel: C1, or C1=12L when it went into several")
        ->type_name("VESSEL[=VOLUME]")
        ->required();
    app.add_option("--lot", lot_, "the lot that it is; a new name makes a new lot")
        ->type_name("LOT");
    app.add_option("--supplier", supplier_, "who it comes from");
    app.add_option("--supplier-lot", supplier_lot_,
                   "the supplier's code, as on the label or the note of delivery");
    app.add_option("--weight", weight_, "what the fruit weighed: 30kg")->type_name("MASS");
    app.add_option("--cost", cost_, "what all of it cost: 120.00")->type_name("SUM");
  }

 private:
  absl::Status FillVessels(Planner& planner, v1::WineReceived& received) const;
  absl::StatusOr<Uuid> Lot(Planner& planner, const v1::WineReceived& received,
                           Change& change) const;

  std::string what_, volume_, lot_, supplier_, supplier_lot_, weight_, cost_;
  std::vector<std::string> into_;
};

absl::Status Receive::FillVessels(Planner& planner, v1::WineReceived& received) const {
  int64_t measured_ul = 0;
  v1::Fill* open = nullptr;
  for (const std::string& word : into_) {
    const auto amount = planner.ReadVesselAmount(word);
    if (!amount.ok()) return amount.status();
    v1::Fill& fill = *received.add_fills();
    fill.set_vessel_id(amount->vessel.ToBytes());
    fill.set_volume_ul(amount->volume_ul);
    measured_ul += amount->volume_ul;
    if (amount->whole && open != nullptr)
      return Usage("how much went into which vessel? Write it, as in --into C1=12L");
    if (amount->whole) open = &fill;
  }
  if (volume_.empty()) {
    return open == nullptr
               ? absl::OkStatus()
               : Usage("how much? Write it, as in: rundlet receive juice 20L --into C1");
  }
  const auto total_ul = ParseVolume(volume_);
  if (!total_ul.ok()) return total_ul.status();
  if (open != nullptr) {
    open->set_volume_ul(*total_ul - measured_ul);
    if (*total_ul > measured_ul) return absl::OkStatus();
  } else if (*total_ul == measured_ul) {
    return absl::OkStatus();
  }
  return Usage(absl::StrCat("the vessels take ", FormatVolume(measured_ul), " and ",
                            FormatVolume(*total_ul), " came in: these do not fit together"));
}

absl::StatusOr<Uuid> Receive::Lot(Planner& planner, const v1::WineReceived& received,
                                  Change& change) const {
  if (!lot_.empty()) {
    v1::Thing* fresh = nullptr;
    return planner.FindOrMake(v1::Thing::kLot, lot_, change, &fresh);
  }
  // What is poured onto something belongs to it.
  const Fold& then = planner.moment().fold();
  const Handle vessel = then.interner().Find(*Uuid::FromBytes(received.fills(0).vessel_id()));
  const Handle lot = then.state().holding(vessel).lot;
  if (lot == kNoHandle) return Usage("which lot is it? Name it: --lot \"Orchard White 26\"");
  return then.interner().id(lot);
}

absl::Status Receive::Make(Planner& planner, Change& change) {
  const auto kind = ParseKind(what_);
  if (!kind.ok()) return kind.status();
  v1::WineReceived received;
  received.set_kind(*kind);
  if (absl::Status status = FillVessels(planner, received); !status.ok()) return status;
  const auto lot = Lot(planner, received, change);
  if (!lot.ok()) return lot.status();
  received.set_lot_id(lot->ToBytes());
  received.set_supplier(supplier_);
  received.set_supplier_lot(supplier_lot_);
  if (!weight_.empty()) {
    const auto mass_ug = ParseMass(weight_);
    if (!mass_ug.ok()) return Usage(absl::StrCat("--weight: ", mass_ug.status().message()));
    received.set_fruit_mass_ug(*mass_ug);
  }
  if (!cost_.empty()) {
    const auto cents = ParseMoney(cost_, planner.fold().directory().settings().currency());
    if (!cents.ok()) return Usage(absl::StrCat("--cost: ", cents.status().message()));
    received.set_cost_cents(*cents);
  }
  if (*kind == v1::INFLOW_KIND_JUICE || *kind == v1::INFLOW_KIND_MUST ||
      *kind == v1::INFLOW_KIND_FRUIT) {
    change.cautions.push_back(
        "fermenting must gives off carbon dioxide: air the room, leave the vessel a way out");
  }
  NoteLotsOfDelivery(planner, received, change);
  change.Add().mutable_wine_received()->Swap(&received);
  return absl::OkStatus();
}

}  // namespace

std::unique_ptr<Command> MakeReceive() { return std::make_unique<Receive>(); }

}  // namespace rundlet::client
