// rundlet vessel: tanks, barrels, carboys, demijohns, buckets, kegs.
#include "absl/strings/str_cat.h"
#include "client/commands/thing.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"

namespace rundlet::client {
namespace {

class VesselFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--capacity", capacity_, "what it holds to the brim: 23L, 5gal")
        ->type_name("VOLUME");
    app.add_option("--kind", kind_, "carboy, barrel, tank, bucket ...");
    app.add_option("--of", made_of_, "what it is made of: glass, oak, steel ...");
    app.add_option("--place", place_, "where it stands");
  }

  absl::Status Fill(const Planner&, v1::Thing& thing) const override {
    if (!capacity_.empty()) {
      const auto capacity_ul = ParseVolume(capacity_);
      if (!capacity_ul.ok())
        return Usage(absl::StrCat("--capacity: ", capacity_ul.status().message()));
      thing.mutable_vessel()->set_capacity_ul(*capacity_ul);
    }
    if (!kind_.empty()) thing.mutable_vessel()->set_kind(kind_);
    if (!made_of_.empty()) thing.mutable_vessel()->set_made_of(made_of_);
    if (!place_.empty()) thing.mutable_vessel()->set_location(place_);
    return absl::OkStatus();
  }

 private:
  std::string capacity_, kind_, made_of_, place_;
};

std::vector<std::string> VesselRow(const Fold& fold, Handle handle, const v1::Thing& thing) {
  const v1::Vessel& vessel = thing.vessel();
  const Holding& holding = fold.state().holding(handle);
  return {vessel.name(),
          vessel.capacity_ul() > 0 ? FormatVolume(vessel.capacity_ul()) : "",
          holding.volume_ul > 0 ? FormatVolume(holding.volume_ul) : "empty",
          fold.directory().NameOf(holding.lot, fold.sequence()),
          vessel.kind(),
          vessel.made_of(),
          vessel.location()};
}

}  // namespace

const ThingKind& VesselKind() {
  static const ThingKind* const kKind = new ThingKind{
      .kind = v1::Thing::kVessel,
      .fields = [] { return std::unique_ptr<ThingFields>(new VesselFields); },
      .headings = {"Vessel", ">Capacity", ">Holds", "Lot", "Kind", "Made of", "Place"},
      .row = VesselRow};
  return *kKind;
}

}  // namespace rundlet::client
