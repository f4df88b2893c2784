// rundlet lot: the batch identity that people say and write on labels.
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/commands/thing.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

class LotFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--colour", colour_, "white, red, rosé ...");
    app.add_option("--vintage", vintage_, "the year: 2026");
    app.add_option("--made-from", made_from_, "Riesling, elderflower ...");
  }
  absl::Status Fill(const Planner&, v1::Thing& thing) const override {
    if (!colour_.empty()) thing.mutable_lot()->set_colour(colour_);
    if (!made_from_.empty()) thing.mutable_lot()->set_made_from(made_from_);
    if (!vintage_.empty()) {
      int32_t year = 0;
      if (!absl::SimpleAtoi(vintage_, &year) || year < 1800 || year > 2199) {
        return Usage(absl::StrCat("--vintage: '", vintage_, "' is no year, such as 2026"));
      }
      thing.mutable_lot()->set_vintage(year);
    }
    return absl::OkStatus();
  }

 private:
  std::string colour_, vintage_, made_from_;
};

std::vector<std::string> LotRow(const Fold& fold, Handle handle, const v1::Thing& thing) {
  int64_t volume_ul = 0;
  std::vector<std::string> places;
  for (const Handle vessel : VesselsHolding(fold, handle)) {
    volume_ul += fold.state().holding(vessel).volume_ul;
    places.push_back(fold.directory().NameOf(vessel, fold.sequence()));
  }
  const v1::Lot& lot = thing.lot();
  return {lot.name(),
          volume_ul > 0 ? FormatVolume(volume_ul) : "",
          absl::StrJoin(places, ", "),
          lot.colour(),
          lot.vintage() > 0 ? absl::StrCat(lot.vintage()) : "",
          lot.made_from()};
}

}  // namespace

const ThingKind& LotKind() {
  static const ThingKind* const kKind =
      new ThingKind{.kind = v1::Thing::kLot,
                    .fields = [] { return std::unique_ptr<ThingFields>(new LotFields); },
                    .headings = {"Lot", ">In vessels", "Vessels", "Colour", "Vintage", "Made from"},
                    .row = LotRow};
  return *kKind;
}

}  // namespace rundlet::client
