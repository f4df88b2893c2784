// rundlet gear: shared gear that holds no wine.
#include "client/commands/thing.h"

namespace rundlet::client {
namespace {

class GearFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--kind", kind_, "press, pump, corker, hydrometer ...");
    app.add_option("--place", place_, "where it is kept");
  }
  absl::Status Fill(const Planner&, v1::Thing& thing) const override {
    if (!kind_.empty()) thing.mutable_equipment()->set_kind(kind_);
    if (!place_.empty()) thing.mutable_equipment()->set_location(place_);
    return absl::OkStatus();
  }

 private:
  std::string kind_, place_;
};

}  // namespace

const ThingKind& GearKind() {
  static const ThingKind* const kKind = new ThingKind{
      .kind = v1::Thing::kEquipment,
      .fields = [] { return std::unique_ptr<ThingFields>(new GearFields); },
      .headings = {"Gear", "Kind", "Place"},
      .row =
          [](const Fold&, Handle, const v1::Thing& thing) {
            const v1::Equipment& gear = thing.equipment();
            return std::vector<std::string>{gear.name(), gear.kind(), gear.location()};
          }};
  return *kKind;
}

}  // namespace rundlet::client
