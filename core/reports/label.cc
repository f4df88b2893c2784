#include "core/reports/label.h"

#include <algorithm>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "core/oenology/answer.h"
#include "core/oenology/energy.h"
#include "core/quantity/format.h"
#include "core/quantity/reading.h"
#include "core/reports/label_rules.h"
#include "core/reports/names.h"
#include "core/rules/findings.h"
#include "core/rules/wine.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::reports {
namespace {

constexpr char kMissing[] = "not known";
constexpr char kSulfiteRule[] = "so2-statement";
constexpr int64_t kCommonStatement = 10'000'000;  // 10 mg/L of total SO2, in millionths

// What a material's allergens are beside sulfites, which have a row of their own.
std::string BesideSulfites(absl::string_view allergens) {
  std::vector<absl::string_view> others;
  for (absl::string_view part : absl::StrSplit(allergens, absl::ByAnyChar(",;"))) {
    part = absl::StripAsciiWhitespace(part);
    const std::string lower = absl::AsciiStrToLower(part);
    if (!part.empty() && !absl::StrContains(lower, "sulfit") &&
        !absl::StrContains(lower, "sulphit"))
      others.push_back(part);
  }
  return absl::StrJoin(others, ", ");
}

// All wines that went into a run, as one.
class Label {
 public:
  Label(const Fold& fold, Handle run, int64_t now_us, Sink& sink)
      : fold_(fold), run_(run), now_us_(now_us), sink_(sink) {
    const rules::WineIndex index(fold, rules::Reach::kFew);
    wines_ = index.OfBottling(run);
    Handle lot = wines_.empty() ? kNoHandle : wines_.front().lot;
    if (lot == kNoHandle) lot = LotOfBottling(fold, run);
    lot_name_ = NameOf(fold, lot);
    if (const Directory::Known* known = fold.directory().Find(lot)) lot_ = known->thing.lot();
    for (const std::string& code : fold.directory().settings().jurisdictions().codes())
      codes_.push_back(code);
  }

  void TellLot() {
    Row("lot", lot_name_, "as the book calls it");
    if (lot_.vintage() > 0) {
      Row("vintage", absl::StrCat(lot_.vintage()),
          "as the lot says; a claim on the label must be proved from the book");
    }
    const std::string code = LotCodeOf(fold_, run_);
    Row("lot code", code.empty() ? kMissing : code,
        code.empty() ? "rundlet bottling change RUN --lot-code L26W1"
                     : "EU: with an L before it, unless it is clearly told from other marks",
        "Directive 2011/91/EU, Art. 3 (read); US law asks for no lot code of wine (from memory)");
  }

  void TellSizes() {
    std::map<int64_t, int64_t> bottles;
    const Log<Movement>& movements = fold_.state().movements();
    for (size_t i = 0; i < movements.size(); ++i) {
      const Movement& m = movements[i];
      const CommodityInfo& info = fold_.commodities().info(m.commodity);
      if (info.kind == CommodityInfo::Kind::kBottles && info.handle == run_ &&
          m.from == Place::Outside(v1::ACCOUNT_GLASS))
        bottles[info.measure] += m.amount;
    }
    for (const auto& [size_ul, count] : bottles)
      Row("net volume", FormatVolume(size_ul), absl::StrCat(count, " bottles were filled"));
  }

  void TellAlcohol() {
    const rules::WineEvent* reading = Latest(v1::READING_KIND_ALCOHOL);
    if (reading == nullptr) {
      Row("alcohol", kMissing,
          "nobody measured it before bottling; measure a bottle and say so in a note, or amend: "
          "rundlet read VESSEL alcohol=12.5%");
      return;
    }
    const std::string measured = ReadingText(*reading);
    if (codes_.empty())
      Row("alcohol", measured, "measured; no jurisdiction is set, so no tolerance is known");
    for (const std::string& code : codes_) {
      bool assumed = false;
      const AlcoholRule* rule = AlcoholRuleFor(code, lot_, reading->value, &assumed);
      if (rule == nullptr) {
        Row("alcohol", measured,
            absl::StrCat("measured; no tolerance of ", code, " is known here"));
        continue;
      }
      Row("alcohol", PrintedAlcohol(*rule, reading->value),
          absl::StrCat(
              code, ": measured ", measured, "; the label may be off by ",
              oenology::Print(static_cast<double>(rule->tolerance_micro) / 1e6, 2),
              " % vol either way; ", rule->wine,
              assumed ? "; grapes are taken for granted: rundlet lot change LOT --fruit" : ""),
          absl::StrCat(rule->source, " (", rule->standing, ")"));
    }
  }

  void TellSulfites() {
    bool owed = false;
    std::vector<std::string> told;
    const rules::Inspector inspector(fold_, now_us_, rules::Reach::kFew);
    for (const rules::Finding& finding : inspector.Of(run_)) {
      if (finding.rule_id != kSulfiteRule ||
          std::find(told.begin(), told.end(), finding.text) != told.end())
        continue;
      owed = true;
      told.push_back(finding.text);
      Row("sulfites", "contains sulfites", finding.text, finding.source);
    }
    if (owed) return;
    const rules::WineEvent* total = Latest(v1::READING_KIND_TOTAL_SO2);
    if (total == nullptr) {
      Row("sulfites", kMissing,
          "nothing that was added asks for a statement by a rule known here, but no total SO2 was "
          "measured, and yeast makes some of its own: measure it");
    } else if (total->value < kCommonStatement) {
      Row("sulfites", "none owed by what is known",
          absl::StrCat("measured ", ReadingText(*total), "; statements are owed from 10 mg/L"));
    } else {
      Row("sulfites", kMissing,
          absl::StrCat("measured ", ReadingText(*total),
                       "; no rule of the jurisdictions that are set is known here, and most ask "
                       "for \"contains sulfites\" from 10 mg/L"));
    }
  }

  void TellAllergens() {
    bool any = false;
    for (const Dose& dose : Doses()) {
      const v1::Material* material = FindMaterial(fold_, dose.material);
      if (material == nullptr) continue;
      const std::string allergens = BesideSulfites(material->allergens());
      if (allergens.empty()) continue;
      any = true;
      Row("allergens", allergens,
          absl::StrCat(FormatAmountOf(dose.dimension, dose.amount), " of ", dose.name,
                       " went in; owed in the EU unless none is found at 0.25 mg/L where it was a "
                       "fining with egg or milk"),
          "Reg. (EU) 1169/2011, Art. 21, Annex II (from memory); Reg. (EU) 579/2012 (second hand)");
    }
    if (!any) Row("allergens", "none by what the materials say", "beside sulfites, above");
  }

  void TellIngredients() {
    std::vector<std::string> names;
    const std::string base = !lot_.made_from().empty() ? lot_.made_from() : lot_.fruit();
    names.push_back(base.empty() ? "(what it is made of is not said)" : base);
    for (const Dose& dose : Doses())
      names.push_back(
          absl::StrCat(dose.name, " (", FormatAmountOf(dose.dimension, dose.amount), ")"));
    Row("ingredients", absl::StrJoin(names, ", "),
        "what went into the wine in the bottles, by amount; yeast, finings and other aids that do "
        "not stay in the wine need not be listed, allergens always",
        "Reg. (EU) 1308/2013, Art. 119, as changed by Reg. (EU) 2021/2117, for wine of grapes made "
        "from December 2023 on (from memory)");
  }

  void TellEnergy() {
    std::vector<std::string> missing;
    const auto value = [&](v1::ReadingKind kind, const char* word) {
      const rules::WineEvent* reading = Latest(kind);
      if (reading == nullptr) missing.push_back(word);
      return reading == nullptr ? 0.0 : static_cast<double>(reading->value) / 1e6;
    };
    oenology::WineMakeup makeup{
        .alcohol_pct = value(v1::READING_KIND_ALCOHOL, "alcohol"),
        .sugar_g_l = value(v1::READING_KIND_RESIDUAL_SUGAR, "residual sugar"),
        .acid_g_l = value(v1::READING_KIND_TITRATABLE_ACIDITY, "titratable acidity")};
    const oenology::Equation& equation = oenology::kEnergy;
    const std::string source =
        absl::StrCat(equation.source, " (", oenology::StandingWords(equation.standing), ")");
    if (!missing.empty()) {
      Row("energy", kMissing,
          absl::StrCat(absl::StrJoin(missing, ", "), " was not measured before bottling"), source);
      return;
    }
    const auto energy = oenology::EnergyOf(makeup);
    if (!energy.ok()) {
      Row("energy", kMissing, std::string(energy.status().message()), source);
      return;
    }
    Row("energy",
        absl::StrCat(oenology::Print(energy->kj_per_100_ml, 0), " kJ / ",
                     oenology::Print(energy->kcal_per_100_ml, 0), " kcal per 100 mL"),
        absl::StrCat(equation.formula,
                     "; acids are the titratable acidity; glycerol was not measured and is left "
                     "out, which is some 5 to 10 kJ too little as a rule (common practice)"),
        source);
  }

 private:
  void Row(absl::string_view item, absl::string_view value, absl::string_view why,
           absl::string_view source = "") {
    sink_.Row({Cell::Text(item), Cell::Text(value), Cell::Text(why), Cell::Text(source)});
  }

  const rules::WineEvent* Latest(v1::ReadingKind kind) const {
    const rules::WineEvent* latest = nullptr;
    for (const rules::Wine& wine : wines_) {
      for (const rules::WineEvent& event : wine.events) {
        if (event.kind == rules::WineEvent::Kind::kRead &&
            event.of == static_cast<uint32_t>(kind) &&
            (latest == nullptr || event.position >= latest->position))
          latest = &event;
      }
    }
    return latest;
  }

  std::string ReadingText(const rules::WineEvent& event) const {
    return absl::StrCat(
        FormatReading(event.value, FromWire(static_cast<v1::ReadingUnit>(event.unit))), " on ",
        FormatWhenDay(WhenOf(fold_.sequence().row(event.row))));
  }

  // Of one material, as it is measured: its packets together.
  struct Dose {
    Handle material = kNoHandle;
    v1::Dimension dimension = v1::DIMENSION_UNSPECIFIED;
    int64_t amount = 0;
    std::string name;
  };

  // Over all sessions, by dimension, then the largest first; grams and millilitres do not compare.
  std::vector<Dose> Doses() const {
    std::map<std::pair<Handle, v1::Dimension>, int64_t> doses;
    std::map<RowId, absl::Span<const Share>> sessions;  // wines of one session share their doses
    for (const rules::Wine& wine : wines_) sessions[wine.row] = wine.doses;
    for (const auto& [row, shares] : sessions) {
      for (const Share& share : shares) {
        const CommodityInfo& info = fold_.commodities().info(share.of);
        doses[{MaterialOf(info.handle), static_cast<v1::Dimension>(info.measure)}] += share.amount;
      }
    }
    std::vector<Dose> list;
    for (const auto& [key, amount] : doses)
      list.push_back({key.first, key.second, amount, NameOf(fold_, key.first)});
    const auto order = [this](const Dose& d) {
      return std::make_tuple(d.dimension, -d.amount, d.name, fold_.interner().id(d.material));
    };
    std::sort(list.begin(), list.end(),
              [&](const Dose& a, const Dose& b) { return order(a) < order(b); });
    return list;
  }

  Handle MaterialOf(Handle material_or_packet) const {
    const Directory::Known* known = fold_.directory().Find(material_or_packet);
    if (known == nullptr || !known->thing.has_material_lot()) return material_or_packet;
    return HandleOf(fold_, known->thing.material_lot().material_id());
  }

  const Fold& fold_;
  const Handle run_;
  const int64_t now_us_;
  Sink& sink_;
  std::vector<rules::Wine> wines_;
  std::string lot_name_;
  v1::Lot lot_;
  std::vector<std::string> codes_;
};

}  // namespace

void TellLabel(const Fold& fold, Handle bottling, int64_t now_us, Sink& sink) {
  sink.Begin("label", {{"item", "Item"},
                       {"value", "On the label"},
                       {.key = "why", .heading = "Why", .under = true},
                       {.key = "source", .heading = "Source", .under = true}});
  Label label(fold, bottling, now_us, sink);
  label.TellLot();
  label.TellSizes();
  label.TellAlcohol();
  label.TellSulfites();
  label.TellAllergens();
  label.TellIngredients();
  label.TellEnergy();
  sink.Note(
      "a label owes more than the book can know: name and address of the bottler, the kind of "
      "product, warnings, sizes of type; this is no advice: check with your authority");
}

}  // namespace rundlet::reports
