// rundlet lot: the batch identity that people say and write on labels.
#include <algorithm>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/cli/near.h"
#include "client/commands/thing.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// One of the words of an option, or InvalidArgument with all of them.
absl::Status CheckWord(absl::string_view option, const std::string& word,
                       const std::vector<std::string>& words) {
  if (std::find(words.begin(), words.end(), word) != words.end()) return absl::OkStatus();
  return Usage(absl::StrCat(option, ": '", word, "' is not known here: write ", Enumerate(words)));
}

class LotFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--colour", colour_, "white, red, rosé ...");
    app.add_option("--vintage", vintage_, "the year: 2026")->type_name("YEAR");
    app.add_option("--made-from", made_from_, "Riesling, elderflower ...");
    app.add_option("--style", style_, "still, sparkling or fortified; limits of law ask it")
        ->type_name("still|sparkling|fortified");
    app.add_option("--fruit", fruit_, "grape, pome, citrus, other, vegetable or honey")
        ->type_name("grape|pome|citrus|other|vegetable|honey");
    app.add_option("--organic", organic_, "yes or no: made and labelled as organic")
        ->type_name("yes|no");
    app.add_option("--for", made_for_, "sale or home")->type_name("sale|home");
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
    return FillClass(thing);
  }

 private:
  // What limits of law ask.
  absl::Status FillClass(v1::Thing& thing) const {
    if (!style_.empty()) {
      if (absl::Status status = CheckWord("--style", style_, {"still", "sparkling", "fortified"});
          !status.ok())
        return status;
      thing.mutable_lot()->set_style(style_);
    }
    if (!fruit_.empty()) {
      if (absl::Status status = CheckWord(
              "--fruit", fruit_, {"grape", "pome", "citrus", "other", "vegetable", "honey"});
          !status.ok())
        return status;
      thing.mutable_lot()->set_fruit(fruit_);
    }
    if (!organic_.empty()) {
      if (absl::Status status = CheckWord("--organic", organic_, {"yes", "no"}); !status.ok())
        return status;
      thing.mutable_lot()->set_organic(organic_ == "yes");
    }
    if (made_for_.empty()) return absl::OkStatus();
    if (absl::Status status = CheckWord("--for", made_for_, {"sale", "home"}); !status.ok())
      return status;
    thing.mutable_lot()->set_made_for(made_for_);
    return absl::OkStatus();
  }

  std::string colour_, vintage_, made_from_, style_, fruit_, organic_, made_for_;
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
          lot.made_from(),
          lot.style(),
          lot.fruit(),
          lot.organic() ? "yes" : "",
          lot.made_for()};
}

}  // namespace

const ThingKind& LotKind() {
  static const ThingKind* const kKind =
      new ThingKind{.kind = v1::Thing::kLot,
                    .fields = [] { return std::unique_ptr<ThingFields>(new LotFields); },
                    .headings = {"Lot", ">In vessels", "Vessels", "Colour", "Vintage", "Made from",
                                 "Style", "Fruit", "Organic", "For"},
                    .row = LotRow};
  return *kKind;
}

}  // namespace rundlet::client
