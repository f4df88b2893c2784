// rundlet bottling: the runs in which wine was filled into bottles.
#include "absl/strings/str_cat.h"
#include "client/commands/thing.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

class BottlingFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--lot", lot_, "the lot that was bottled")->type_name("LOT");
    app.add_option("--lot-code", lot_code_, "the lot code as printed on the label: L2601");
  }
  absl::Status Fill(const Planner& planner, v1::Thing& thing) const override {
    if (!lot_code_.empty()) thing.mutable_bottling()->set_lot_code(lot_code_);
    if (!lot_.empty()) {
      const auto lot = planner.Named(v1::Thing::kLot, lot_);
      if (!lot.ok()) return lot.status();
      thing.mutable_bottling()->set_lot_id(lot->ToBytes());
    }
    return absl::OkStatus();
  }

 private:
  std::string lot_, lot_code_;
};

std::vector<std::string> BottlingRow(const Fold& fold, Handle handle, const v1::Thing& thing) {
  int64_t left = 0;
  for (const Balance& balance : fold.state().balances()) {
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    if (balance.place.kind() == Place::Kind::kBin && info.kind == CommodityInfo::Kind::kBottles &&
        info.handle == handle)
      left += balance.amount;
  }
  const v1::Bottling& bottling = thing.bottling();
  return {bottling.name(), absl::StrCat(left), NameOf(fold, HandleOf(fold, bottling.lot_id())),
          bottling.lot_code()};
}

}  // namespace

const ThingKind& BottlingKind() {
  static const ThingKind* const kKind =
      new ThingKind{.kind = v1::Thing::kBottling,
                    .fields = [] { return std::unique_ptr<ThingFields>(new BottlingFields); },
                    .headings = {"Bottling", ">Bottles left", "Lot", "Lot code"},
                    .row = BottlingRow};
  return *kKind;
}

}  // namespace rundlet::client
