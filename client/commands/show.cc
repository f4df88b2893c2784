// rundlet show: everything about one thing.
#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "client/cli/id_json.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "client/commands/show_parts.h"
#include "client/numbers/fermentation.h"
#include "client/numbers/inputs.h"
#include "client/numbers/print_answer.h"
#include "core/oenology/forecast.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

class ShowCommand : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option(
           "thing", thing_,
           "anything with a name; 'lot:NAME' where several kinds share it; or an entry by its id")
        ->type_name("THING|ENTRY")
        ->required();
    app.add_option("--target", target_, "forecast the day of this density; 0.996 if not said")
        ->type_name("DENSITY");
    app.add_flag("--explain", explain_, "how the forecast comes about");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto thing = FindAnything(*cellar.fold, thing_);
    if (!thing.ok()) {
      const auto entry = FindEntry(cellar, thing_);
      return entry.ok() ? ShowEntry(cellar, *entry, session) : thing.status();
    }
    double target = oenology::kDryGravity;
    if (!target_.empty()) {
      const auto gravity = ReadInput(InputKind::kGravity, target_);
      if (!gravity.ok()) return Usage(absl::StrCat("--target: ", gravity.status().message()));
      target = *gravity;
    }
    const std::vector<Fermentation> fermentations = FermentationsOf(*cellar.fold, *thing);
    if (json()) {
      session.out() << WithForecasts(*cellar.fold, *thing, fermentations, target, session);
      return absl::OkStatus();
    }
    session.out() << TextOfThing(*cellar.fold, *thing, session.columns());
    for (const Fermentation& fermentation : fermentations) {
      const bool named = fermentation.vessel != *thing;
      ShowFermentation(*cellar.fold, fermentation, named, target, session);
    }
    return absl::OkStatus();
  }

 private:
  struct Fermentation {
    Handle vessel = kNoHandle;
    std::vector<DensityStep> steps;
  };

  // Those that the readings of the thing tell of: of itself, or of the vessels that hold a lot.
  static std::vector<Fermentation> FermentationsOf(const Fold& fold, Handle thing) {
    std::vector<Handle> vessels;
    if (fold.directory().kind(thing) == v1::Thing::kVessel) vessels = {thing};
    if (fold.directory().kind(thing) == v1::Thing::kLot) vessels = VesselsHolding(fold, thing);
    std::vector<Fermentation> fermentations;
    for (const Handle vessel : vessels) {
      std::vector<DensityStep> steps = FermentationIn(fold, vessel);
      if (IsFermentation(steps)) fermentations.push_back({vessel, std::move(steps)});
    }
    return fermentations;
  }

  void ShowFermentation(const Fold& fold, const Fermentation& fermentation, bool named,
                        double target, Session& session) const {
    session.out() << "\n";
    if (named) {
      session.out() << "In " << fold.directory().NameOf(fermentation.vessel, fold.sequence())
                    << "\n";
    }
    session.out() << PrintFermentation(fermentation.steps, session.columns()) << "\n";
    const auto forecast = ForecastOf(fermentation.steps, target, session.env.Now());
    if (forecast.ok()) {
      if (forecast->day.has_value()) {
        session.out() << oenology::Print(target, 4) << " is reached about "
                      << FormatWhenDay(*forecast->day) << "\n";
      }
      PrintAnswer(forecast->answer, {.explain = explain_}, session);
    } else {
      session.out() << "no forecast: " << forecast.status().message() << "\n";
    }
  }

  // The thing as JSON, with an array "forecasts" where there is a fermentation.
  static std::string WithForecasts(const Fold& fold, Handle thing,
                                   const std::vector<Fermentation>& fermentations, double target,
                                   const Session& session) {
    std::string json = JsonOfThing(fold, thing);
    std::vector<std::string> forecasts;
    for (const auto& [vessel, steps] : fermentations) {
      const auto forecast = ForecastOf(steps, target, session.env.Now());
      JsonObject one;
      one.Text("vessel", fold.directory().NameOf(vessel, fold.sequence()));
      if (forecast.ok()) {
        one.Raw("forecast", JsonOfAnswer(forecast->answer));
        if (forecast->day.has_value()) one.Text("day", FormatWhenDay(*forecast->day));
      } else {
        one.Text("none", forecast.status().message());
      }
      forecasts.push_back(one.Finish());
    }
    if (forecasts.empty()) return json;
    json.erase(json.rfind('}'));
    return absl::StrCat(json, ",\"forecasts\":", JsonArray(forecasts), "}\n");
  }

  absl::Status ShowEntry(Cellar& cellar, const StoredEntry& stored, Session& session) const {
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) return entry.status();
    session.out() << (json() ? absl::StrCat(JsonWithIds(*entry), "\n")
                             : TextOfEntry(cellar, stored, *entry));
    return absl::OkStatus();
  }

  std::string thing_, target_;
  bool explain_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeShow() { return std::make_unique<ShowCommand>(); }

}  // namespace rundlet::client
