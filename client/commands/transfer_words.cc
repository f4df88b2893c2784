#include "client/commands/transfer_words.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/commands/lot_notes.h"
#include "core/quantity/amount.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr v1::Account kWineOutflows[] = {
    v1::ACCOUNT_SAMPLE, v1::ACCOUNT_SPILL,       v1::ACCOUNT_DUMP,   v1::ACCOUNT_LEES,
    v1::ACCOUNT_LOSS,   v1::ACCOUNT_EVAPORATION, v1::ACCOUNT_SERVED, v1::ACCOUNT_SOLD,
    v1::ACCOUNT_GIFT,   v1::ACCOUNT_SHARE,       v1::ACCOUNT_DONATED};
constexpr v1::Account kBottleAccounts[] = {
    v1::ACCOUNT_SERVED,   v1::ACCOUNT_SOLD,    v1::ACCOUNT_GIFT,
    v1::ACCOUNT_SHARE,    v1::ACCOUNT_DONATED, v1::ACCOUNT_SAMPLE,
    v1::ACCOUNT_BREAKAGE, v1::ACCOUNT_DUMP,    v1::ACCOUNT_LOSS};

void AddDraw(const VesselAmount& amount, v1::Transfer& transfer) {
  v1::Draw& draw = *transfer.add_draws();
  draw.set_vessel_id(amount.vessel.ToBytes());
  if (amount.whole) {
    draw.set_all(true);
  } else {
    draw.set_volume_ul(amount.volume_ul);
  }
}

void AddFill(const VesselAmount& amount, v1::Transfer& transfer) {
  v1::Fill& fill = *transfer.add_fills();
  fill.set_vessel_id(amount.vessel.ToBytes());
  if (amount.whole) {
    fill.set_rest(true);
  } else {
    fill.set_volume_ul(amount.volume_ul);
  }
}

}  // namespace

absl::Span<const v1::Account> WineOutflowAccounts() { return kWineOutflows; }
absl::Span<const v1::Account> BottleAccounts() { return kBottleAccounts; }

absl::StatusOr<v1::Account> ParseAccount(absl::string_view word,
                                         absl::Span<const v1::Account> allowed) {
  std::vector<std::string> words;
  for (const v1::Account account : allowed) {
    if (AccountWord(account) == word) return account;
    words.emplace_back(AccountWord(account));
  }
  return Usage(
      absl::StrCat("'", word, "' is no reason that is known here: write ", Enumerate(words)));
}

// ---- outflows ----

void OutflowWords::Declare(CLI::App& app) {
  app.add_option("--lees,--pomace", lees_,
                 "left behind with the sediment or the pomace: 0.7L, or rest")
      ->type_name("VOLUME|rest");
  app.add_option("--loss", loss_, "lost, cause not told apart: 0.2L, or rest")
      ->type_name("VOLUME|rest");
  app.add_option("--evaporation", evaporation_, "lost through wood or airlock")
      ->type_name("VOLUME|rest");
  app.add_option("--sample", sample_, "drawn to be measured or tasted")->type_name("VOLUME|rest");
  app.add_option("--spill", spill_, "spilt")->type_name("VOLUME|rest");
  app.add_option("--dump", dump_, "thrown away on purpose")->type_name("VOLUME|rest");
}

bool OutflowWords::TakesRest() const {
  for (const std::string* word : {&lees_, &loss_, &evaporation_, &sample_, &spill_, &dump_}) {
    if (*word == "rest") return true;
  }
  return false;
}

bool OutflowWords::empty() const {
  return lees_.empty() && loss_.empty() && evaporation_.empty() && sample_.empty() &&
         spill_.empty() && dump_.empty();
}

absl::Status OutflowWords::Fill(google::protobuf::RepeatedPtrField<v1::Outflow>& outflows) const {
  const std::pair<v1::Account, const std::string*> all[] = {
      {v1::ACCOUNT_LEES, &lees_},
      {v1::ACCOUNT_LOSS, &loss_},
      {v1::ACCOUNT_EVAPORATION, &evaporation_},
      {v1::ACCOUNT_SAMPLE, &sample_},
      {v1::ACCOUNT_SPILL, &spill_},
      {v1::ACCOUNT_DUMP, &dump_}};
  for (const auto& [account, word] : all) {
    if (word->empty()) continue;
    v1::Outflow& outflow = *outflows.Add();
    outflow.set_account(account);
    if (*word == "rest") {
      outflow.set_rest(true);
      continue;
    }
    const auto volume_ul = ParseVolume(*word);
    if (!volume_ul.ok())
      return Usage(absl::StrCat("--", AccountWord(account), ": ", volume_ul.status().message()));
    outflow.set_volume_ul(*volume_ul);
  }
  return absl::OkStatus();
}

// ---- transfers ----

void TransferWords::DeclareCommon(CLI::App& app) {
  outflows.Declare(app);
  app.add_option("--lot", lot, "the lot that it is from now on; a new name makes a new lot")
      ->type_name("LOT");
  AddList(app, "--gear", gear, "pump, press, filter ... that was used")->type_name("GEAR");
}

absl::Status TransferWords::FillEnds(Planner& planner, v1::Transfer& transfer) const {
  std::vector<VesselAmount> sources, targets;
  for (const std::string& word : from) {
    auto amount = planner.ReadVesselAmount(word);
    if (!amount.ok()) return amount.status();
    sources.push_back(*std::move(amount));
  }
  for (const std::string& word : to) {
    auto amount = planner.ReadVesselAmount(word);
    if (!amount.ok()) return amount.status();
    targets.push_back(*std::move(amount));
  }
  std::vector<std::string> without_amount;
  for (const VesselAmount& target : targets) {
    if (target.whole) without_amount.push_back(target.name);
    for (const VesselAmount& source : sources) {
      if (source.vessel == target.vessel) {
        return Usage(absl::StrCat(
            target.name, " cannot be emptied and filled in one go: leave it out on one side"));
      }
    }
  }
  if (without_amount.size() > 1) {
    return Usage(absl::StrCat("how much went into which of ",
                              Enumerate(without_amount, ", ", " and "), "? Write it, as in --to ",
                              without_amount[0], "=18.5L; one may stay without"));
  }
  if (without_amount.size() == 1 && outflows.TakesRest()) {
    return Usage(
        absl::StrCat("only one can take the rest: write how much went into ", without_amount[0]));
  }
  for (const VesselAmount& source : sources) AddDraw(source, transfer);
  for (const VesselAmount& target : targets) AddFill(target, transfer);
  return absl::OkStatus();
}

absl::Status TransferWords::Fill(Planner& planner, Change& change, v1::Transfer& transfer) const {
  if (from.empty()) return Usage("where does it come from? Write --from VESSEL");
  if (to.empty()) return Usage("where does it go? Write --to VESSEL");
  if (absl::Status status = FillEnds(planner, transfer); !status.ok()) return status;
  if (absl::Status status = outflows.Fill(*transfer.mutable_outflows()); !status.ok())
    return status;
  if (!lot.empty()) {
    v1::Thing* fresh = nullptr;
    const auto lot_id = planner.FindOrMake(v1::Thing::kLot, lot, change, &fresh);
    if (!lot_id.ok()) return lot_id.status();
    transfer.set_lot_id(lot_id->ToBytes());
  }
  for (const std::string& name : gear) {
    const auto gear_id = planner.Named(v1::Thing::kEquipment, name);
    if (!gear_id.ok()) return gear_id.status();
    transfer.add_equipment_ids(gear_id->ToBytes());
  }
  NoteLotsOfTransfer(planner, transfer, change);
  return absl::OkStatus();
}

}  // namespace rundlet::client
