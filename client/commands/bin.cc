// rundlet bin: places where bottles lie.
#include "absl/strings/str_cat.h"
#include "client/commands/thing.h"
#include "core/quantity/amount.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

class BinFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--place", place_, "where it is");
    app.add_option("--bottles", bottles_, "how many bottles find room")->type_name("COUNT");
    app.add_option("--inside", inside_, "the bin that it is a part of: a shelf of a rack")
        ->type_name("BIN");
  }
  absl::Status Fill(const Planner& planner, v1::Thing& thing) const override {
    if (!inside_.empty()) {
      const auto outer = planner.Named(v1::Thing::kBin, inside_);
      if (!outer.ok()) return outer.status();
      thing.mutable_bin()->set_inside_id(outer->ToBytes());
    }
    if (!place_.empty()) thing.mutable_bin()->set_location(place_);
    if (!bottles_.empty()) {
      const auto count = ParseCount(bottles_);
      if (!count.ok()) return Usage(absl::StrCat("--bottles: ", count.status().message()));
      thing.mutable_bin()->set_capacity_bottles(*count);
    }
    return absl::OkStatus();
  }

 private:
  std::string place_, bottles_, inside_;
};

std::vector<std::string> BinRow(const Fold& fold, Handle handle, const v1::Thing& thing) {
  int64_t count = 0;
  for (const Balance& balance : fold.state().balances()) {
    if (balance.place == Place::Bin(handle)) count += balance.amount;
  }
  const v1::Bin& bin = thing.bin();
  return {bin.name(),
          absl::StrCat(count),
          bin.capacity_bottles() > 0 ? absl::StrCat(bin.capacity_bottles()) : "",
          bin.location(),
          NameOf(fold, HandleOf(fold, bin.inside_id())),
          bin.occasion_on()};
}

}  // namespace

const ThingKind& BinKind() {
  static const ThingKind* const kKind =
      new ThingKind{.kind = v1::Thing::kBin,
                    .fields = [] { return std::unique_ptr<ThingFields>(new BinFields); },
                    .headings = {"Bin", ">Bottles", ">Room for", "Place", "Inside", "Occasion"},
                    .row = BinRow};
  return *kKind;
}

}  // namespace rundlet::client
