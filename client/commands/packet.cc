// rundlet packet: one delivery of a material, with the supplier's code, its expiry and its stock.
#include "absl/strings/str_cat.h"
#include "client/commands/addition_words.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "client/commands/known_materials.h"
#include "client/commands/thing.h"
#include "core/quantity/amount.h"
#include "core/quantity/money.h"
#include "core/view/board.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

class PacketFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--supplier", supplier_, "who it comes from");
    app.add_option("--code", code_, "the supplier's lot code, as on the packet");
    app.add_option("--expires", expires_, "2028-01-31, or 2028-01")->type_name("DAY");
    app.add_option("--opened", opened_, "the day on which it was opened")->type_name("DAY");
  }
  absl::Status Fill(const Planner& planner, v1::Thing& thing) const override {
    if (!supplier_.empty()) thing.mutable_material_lot()->set_supplier(supplier_);
    if (!code_.empty()) thing.mutable_material_lot()->set_supplier_lot(code_);
    if (!expires_.empty()) {
      const auto day = ReadDay("--expires", expires_);
      if (!day.ok()) return day.status();
      thing.mutable_material_lot()->set_expires_on(*day);
    }
    if (!opened_.empty()) {
      const auto day = ReadDay("--opened", opened_);
      if (!day.ok()) return day.status();
      if (*day > FormatWhenDay(planner.now()))
        return Usage(
            absl::StrCat("--opened: ", *day, " lies ahead: write the day on which it was"));
      thing.mutable_material_lot()->set_opened_on(*day);
    }
    return absl::OkStatus();
  }
  const std::string& code() const { return code_; }

 private:
  std::string supplier_, code_, expires_, opened_;
};

std::vector<std::string> PacketRow(const Fold& fold, Handle handle, const v1::Thing& thing) {
  const v1::StockLine line = MakeStockLine(fold, handle);
  return {line.name(),
          line.material_name(),
          line.amount().base() > 0 ? FormatAmountOf(line.amount().dimension(), line.amount().base())
                                   : "none",
          line.supplier_lot(),
          line.expires_on(),
          thing.material_lot().opened_on(),
          thing.material_lot().supplier()};
}

// packet new "potassium metabisulfite" --name KMS-1 --code LOT123 --expires 2028-01 --amount 100g
class PacketNew : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override;

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("material", material_,
                   "what it is a packet of; a name of its own makes a new material")
        ->type_name("MATERIAL")
        ->required();
    app.add_option("--name", name_, "what the packet is called here; its code if left out")
        ->type_name("NAME");
    app.add_option("--amount", amount_, "how much came in: 100g, 2L, 30")->type_name("AMOUNT");
    app.add_option("--cost", cost_, "what all of it cost: 4.50")->type_name("SUM");
    fields_.Declare(app);
  }

 private:
  std::string material_, name_, amount_, cost_;
  PacketFields fields_;
};

absl::Status PacketNew::Make(Planner& planner, Change& change) {
  std::optional<Amount> amount;
  if (!amount_.empty()) {
    const auto read = ParseAmount(amount_);
    if (!read.ok()) return Usage(absl::StrCat("--amount: ", read.status().message()));
    amount = *read;
  }
  v1::Thing* fresh = nullptr;
  const auto material = planner.FindOrMake(v1::Thing::kMaterial, material_, change, &fresh);
  if (!material.ok()) return material.status();
  if (fresh != nullptr) {
    v1::Material& made = *fresh->mutable_material();
    if (amount.has_value()) made.set_dimension(ToWire(amount->dimension));
    FillInKnownMaterial(made);
    if (!made.has_dimension()) made.set_dimension(UsualDimension(made.kind()));
  }
  const v1::Material& of = fresh ? fresh->material() : planner.Find(*material)->material();
  if (amount.has_value()) {
    if (absl::Status status = CheckMeasure(of, amount_, *amount); !status.ok()) return status;
  }

  const std::string name = name_.empty() ? fields_.code() : name_;
  if (name.empty())
    return Usage("the packet needs a name of its own: --name KMS-1, or --code as printed on it");
  if (absl::Status status = CheckNameIsFree(planner.fold(), v1::Thing::kMaterialLot, name);
      !status.ok())
    return status;
  v1::Thing& packet = *change.Add().mutable_registered();
  const std::string packet_id = planner.NewId().ToBytes();
  packet.set_thing_id(packet_id);
  packet.mutable_material_lot()->set_name(name);
  packet.mutable_material_lot()->set_material_id(material->ToBytes());
  if (absl::Status status = fields_.Fill(planner, packet); !status.ok()) return status;
  if (!amount.has_value())
    return cost_.empty() ? absl::OkStatus() : Usage("--cost: of how much? Write --amount too");

  v1::MaterialReceived& received = *change.Add().mutable_material_received();
  received.set_material_lot_id(packet_id);
  *received.mutable_amount() = ToWire(*amount);
  if (!cost_.empty()) {
    const auto cents = ParseMoney(cost_, planner.fold().directory().settings().currency());
    if (!cents.ok()) return Usage(absl::StrCat("--cost: ", cents.status().message()));
    received.set_cost_cents(*cents);
  }
  return absl::OkStatus();
}

}  // namespace

const ThingKind& PacketKind() {
  static const ThingKind* const kKind = new ThingKind{
      .kind = v1::Thing::kMaterialLot,
      .fields = [] { return std::unique_ptr<ThingFields>(new PacketFields); },
      .headings = {"Packet", "Material", ">In stock", "Code", "Expires", "Opened", "Supplier"},
      .row = PacketRow};
  return *kKind;
}

std::unique_ptr<Command> MakePacketNew() { return std::make_unique<PacketNew>(); }

}  // namespace rundlet::client
