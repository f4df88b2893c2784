// rundlet cost, costs: what wine cost, and what of it was entered by hand.
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/costs/costs.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"
#include "core/quantity/rounding.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using costs::Cost;
using costs::CostBook;
using costs::CostKind;
using costs::CostPart;
using costs::CostPlace;

// cost 35.00 --for excise --lot "Harrow White" --excise
class EnterCost : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto cents = ParseMoney(sum_, planner.fold().directory().settings().currency());
    if (!cents.ok()) return cents.status();
    if (*cents == 0) return Usage("write what it cost, such as 12.50");
    v1::CostEntered entered;
    entered.set_cents(*cents);
    entered.set_what(what_);
    entered.set_excise(excise_);
    if (!lot_.empty()) {
      const auto lot = planner.Named(v1::Thing::kLot, lot_);
      if (!lot.ok()) return lot.status();
      entered.set_lot_id(lot->ToBytes());
    }
    change.Add().mutable_cost_entered()->Swap(&entered);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("sum", sum_, "what it cost: 12.50")->type_name("SUM")->required();
    app.add_option("--for", what_, "what it was for: freight, gear, excise")->required();
    app.add_option("--lot", lot_, "the lot that bears it; the whole cellar if left out")
        ->type_name("LOT");
    app.add_flag("--excise", excise_, "it is excise");
  }

 private:
  std::string sum_, what_, lot_;
  bool excise_ = false;
};

// What a cost is, in a few words.
std::string Describe(const Fold& fold, const Cost& cost) {
  switch (cost.kind) {
    case CostKind::kWine:
      return absl::StrCat("delivery for ", NameOf(fold, cost.what));
    case CostKind::kMaterial: {
      const v1::Material* material = FindMaterial(fold, cost.what);
      return absl::StrCat(NameOf(fold, cost.what), material == nullptr ? "" : ", ",
                          material == nullptr ? "" : material->name());
    }
    default:
      return cost.excise ? absl::StrCat(cost.text, " (excise)") : cost.text;
  }
}

// costs ["Harrow White 1"]
class Costs : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", what_, "a lot, a vessel or a bottling: part by part; else all in short")
        ->type_name("LOT|VESSEL|BOTTLING");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const CostBook book = costs::MakeCostBook(fold);
    const std::string& currency = fold.directory().settings().currency();
    Handle only = kNoHandle;
    if (!what_.empty()) {
      const auto thing = FindAnything(fold, what_);
      if (!thing.ok()) return thing.status();
      only = *thing;
    }
    if (json()) {
      session.out() << Json(fold, book, only) << "\n";
    } else if (only == kNoHandle) {
      PrintAll(fold, book, currency, session);
    } else {
      PrintParts(fold, book, only, currency, session);
    }
    return absl::OkStatus();
  }

 private:
  static bool IsMeant(const CostPlace& place, Handle only) {
    return only == kNoHandle || place.place == only || place.lot == only;
  }

  static void PrintAll(const Fold& fold, const CostBook& book, const std::string& currency,
                       Session& session) {
    Table table({"Wine", "Lot", ">Volume", ">Bottles", ">Cost", ">A bottle", ">A litre"});
    for (const CostPlace& place : book.places) {
      table.Add({NameOf(fold, place.place), NameOf(fold, place.lot), FormatVolume(place.volume_ul),
                 place.glass ? absl::StrCat(place.bottles) : "", FormatMoney(place.cents, currency),
                 place.bottles > 0 ? FormatMoney(place.CentsPerBottle(), currency) : "",
                 PerLitre(place, currency)});
    }
    session.out() << table.Print(session.columns()) << "\n"
                  << "paid " << FormatMoney(book.total_cents(), currency) << ", of which "
                  << FormatMoney(book.in_stock_cents, currency) << " is in stock and "
                  << FormatMoney(book.spent_cents, currency) << " went with wine that is gone\n";
  }

  static std::string PerLitre(const CostPlace& place, const std::string& currency) {
    constexpr int64_t kLitreUl = 1'000'000;
    if (place.volume_ul == 0) return "";
    const auto cents =
        DivideHalfEven(static_cast<__int128>(place.cents) * kLitreUl, place.volume_ul);
    return cents.has_value() ? FormatMoney(cents->value, currency) : "";
  }

  static void PrintParts(const Fold& fold, const CostBook& book, Handle only,
                         const std::string& currency, Session& session) {
    Table table({"Wine", "Cost", ">Part", ">Of"});
    int64_t sum = 0;
    for (const CostPart& part : book.parts) {
      const CostPlace& place = book.places[part.place];
      if (!IsMeant(place, only)) continue;
      const Cost& cost = book.costs[part.cost];
      sum += part.cents;
      table.Add({NameOf(fold, place.place), Describe(fold, cost), FormatMoney(part.cents, currency),
                 FormatMoney(cost.cents, currency)});
    }
    if (!table.empty()) session.out() << table.Print(session.columns()) << "\n";
    session.out() << "together " << FormatMoney(sum, currency);
    int64_t bottles = 0, cents = 0;
    for (const CostPlace& place : book.places) {
      if (!IsMeant(place, only) || !place.glass) continue;
      bottles += place.bottles;
      cents += place.cents;
    }
    if (bottles > 0)
      session.out() << ", " << FormatMoney(DivideHalfEven(cents, bottles)->value, currency)
                    << " a bottle";
    session.out() << "\n";
  }

  static std::string Json(const Fold& fold, const CostBook& book, Handle only) {
    std::vector<std::string> places;
    for (size_t i = 0; i < book.places.size(); ++i) {
      const CostPlace& place = book.places[i];
      if (!IsMeant(place, only)) continue;
      std::vector<std::string> parts;
      for (const CostPart& part : book.parts) {
        if (part.place != i) continue;
        const Cost& cost = book.costs[part.cost];
        parts.push_back(JsonObject()
                            .Text("cost", Describe(fold, cost))
                            .Text("entry_id", fold.sequence().row(cost.row).id.ToString())
                            .Number("cents", part.cents)
                            .Number("of_cents", cost.cents)
                            .Finish());
      }
      places.push_back(JsonObject()
                           .Text("place", NameOf(fold, place.place))
                           .Text("lot", NameOf(fold, place.lot))
                           .Bool("bottled", place.glass)
                           .Number("volume_ul", place.volume_ul)
                           .Number("bottles", place.bottles)
                           .Number("cents", place.cents)
                           .Number("cents_per_bottle", place.CentsPerBottle())
                           .Raw("parts", JsonArray(parts))
                           .Finish());
    }
    return JsonObject()
        .Text("currency", fold.directory().settings().currency())
        .Raw("places", JsonArray(places))
        .Number("total_cents", book.total_cents())
        .Number("in_stock_cents", book.in_stock_cents)
        .Number("spent_cents", book.spent_cents)
        .Finish();
  }

  std::string what_;
};

}  // namespace

std::unique_ptr<Command> MakeCost() { return std::make_unique<EnterCost>(); }
std::unique_ptr<Command> MakeCosts() { return std::make_unique<Costs>(); }

}  // namespace rundlet::client
