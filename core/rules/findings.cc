#include "core/rules/findings.h"

#include <algorithm>
#include <tuple>

#include "core/rules/judge.h"
#include "core/rules/lot_class.h"
#include "core/view/names.h"

namespace rundlet::rules {
namespace {

const rundlet::v1::Lot& LotOf(const Fold& fold, const Wine& wine) {
  const Directory::Known* known = fold.directory().Find(wine.lot);
  return known == nullptr ? rundlet::v1::Lot::default_instance() : known->thing.lot();
}

std::optional<int64_t> SugarOf(const Wine& wine) {
  for (auto event = wine.events.rbegin(); event != wine.events.rend(); ++event) {
    if (event->kind == WineEvent::Kind::kPoured && event->sweetens) return std::nullopt;
    if (event->kind == WineEvent::Kind::kRead &&
        event->of == rundlet::v1::READING_KIND_RESIDUAL_SUGAR)
      return event->value;  // millionths of g/L are micrograms a litre
  }
  return std::nullopt;
}

template <typename List, typename Item>
bool Has(const List& list, const Item& item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

bool InScope(const v1::WineScope& scope, const WineClass& wine, bool for_home,
             absl::Span<const std::string> jurisdictions) {
  if (!scope.jurisdictions().empty() &&
      std::none_of(jurisdictions.begin(), jurisdictions.end(),
                   [&](const std::string& code) { return Has(scope.jurisdictions(), code); }))
    return false;
  if (!scope.colours().empty() &&
      (!wine.colour.has_value() || !Has(scope.colours(), static_cast<int>(*wine.colour))))
    return false;
  const auto fits = [](const auto& list, const auto& known) {
    return list.empty() || Has(list, static_cast<int>(*known));
  };
  if (!fits(scope.styles(), wine.style) || !fits(scope.fruits(), wine.fruit) ||
      !fits(scope.schemes(), wine.scheme))
    return false;
  return scope.made_for().empty() || Has(scope.made_for(), std::string(for_home ? "home" : "sale"));
}

std::vector<std::string> JurisdictionsOf(const Fold& fold) {
  const auto& codes = fold.directory().settings().jurisdictions().codes();
  return {codes.begin(), codes.end()};
}

void JudgeOne(const Case& c) {
  switch (c.rule().kind_case()) {
    case v1::Rule::kLegalLimit:
      return JudgeLegalLimit(c);
    case v1::Rule::kStatement:
      return JudgeStatement(c);
    case v1::Rule::kRange:
      return JudgeRange(c);
    case v1::Rule::kOrder:
      return JudgeOrder(c);
    case v1::Rule::kCondition:
      return JudgeCondition(c);
    case v1::Rule::kWatch:
      return JudgeWatch(c);
    case v1::Rule::kPresence:
      return JudgePresence(c);
    case v1::Rule::kMixed:
      return JudgeMixed(c);
    case v1::Rule::KIND_NOT_SET:
      return;
  }
}

}  // namespace

Inspector::Inspector(const Fold& fold, int64_t now_us, Reach reach)
    : fold_(fold),
      now_us_(now_us),
      book_(RulesOf(fold)),
      index_(fold, reach),
      materials_(fold, book_.groups),
      jurisdictions_(JurisdictionsOf(fold)) {}

void Inspector::Judge(const Wine& wine, std::vector<Finding>& findings) const {
  const rundlet::v1::Lot& lot = LotOf(fold_, wine);
  WineClass wine_class = ClassOfLot(lot);
  wine_class.sugar_ug_l = SugarOf(wine);
  const bool for_home = IsForHome(lot);
  const bool empty = wine.volume_ul == 0;
  for (const KnownRule& known : book_.rules) {
    if (empty && !known.rule.watch().has_hot_glass()) continue;
    if (!InScope(known.rule.scope(), wine_class, for_home, jurisdictions_)) continue;
    JudgeOne({.fold = fold_,
              .index = index_,
              .materials = materials_,
              .jurisdictions = jurisdictions_,
              .wine = wine,
              .wine_class = wine_class,
              .for_home = for_home,
              .now_us = now_us_,
              .known = known,
              .findings = findings});
  }
}

void Inspector::JudgeThing(Handle thing, std::vector<Finding>& findings) const {
  switch (fold_.directory().kind(thing)) {
    case rundlet::v1::Thing::kVessel:
      // An empty vessel has rules of its own.
      Judge(index_.InVessel(thing).value_or(Wine{.thing = thing}), findings);
      break;
    case rundlet::v1::Thing::kBottling:
      for (const Wine& wine : index_.OfBottling(thing)) Judge(wine, findings);
      break;
    case rundlet::v1::Thing::kLot:
      for (const Handle vessel : VesselsHolding(fold_, thing)) JudgeThing(vessel, findings);
      for (const Handle bottling : index_.Bottlings()) {
        const Directory::Known* known = fold_.directory().Find(bottling);
        if (known != nullptr && HandleOf(fold_, known->thing.bottling().lot_id()) == thing)
          JudgeThing(bottling, findings);
      }
      break;
    default:
      break;
  }
}

void Inspector::Sort(std::vector<Finding>& findings) const {
  // Names are looked up once a thing, not once a comparison.
  absl::flat_hash_map<Handle, std::string> names;
  for (const Finding& finding : findings) {
    if (!names.contains(finding.thing))
      names[finding.thing] = fold_.directory().NameOf(finding.thing, fold_.sequence());
  }
  const auto key = [&](const Finding& f) {
    return std::make_tuple(f.severity, absl::string_view(names.find(f.thing)->second), f.thing,
                           index_.PositionOf(f.entry), absl::string_view(f.rule_id),
                           absl::string_view(f.limit_id), absl::string_view(f.text));
  };
  // Things of one name are told apart by their ids, which do not depend on arrival; handles do.
  const auto before = [&](const Finding& a, const Finding& b) {
    const auto ka = key(a);
    const auto kb = key(b);
    if (std::get<0>(ka) != std::get<0>(kb)) return std::get<0>(ka) < std::get<0>(kb);
    if (std::get<1>(ka) != std::get<1>(kb)) return std::get<1>(ka) < std::get<1>(kb);
    if (a.thing != b.thing)
      return fold_.interner().id(a.thing).ToBytes() < fold_.interner().id(b.thing).ToBytes();
    return ka < kb;
  };
  std::sort(findings.begin(), findings.end(), before);
  // One run drawn from two vessels has what is of the whole run twice.
  const auto same = [](const Finding& a, const Finding& b) {
    return a.thing == b.thing && a.entry == b.entry && a.rule_id == b.rule_id &&
           a.limit_id == b.limit_id && a.text == b.text;
  };
  findings.erase(std::unique(findings.begin(), findings.end(), same), findings.end());
}

std::vector<Finding> Inspector::Of(Handle thing) const {
  std::vector<Finding> findings;
  JudgeThing(thing, findings);
  Sort(findings);
  return findings;
}

std::vector<Finding> Inspector::OfAll(bool drunk) const {
  std::vector<Finding> findings;
  for (Handle vessel = 0; vessel < fold_.state().holdings(); ++vessel) {
    if (const auto wine = index_.InVessel(vessel); wine.has_value()) Judge(*wine, findings);
  }
  for (const Handle thing : index_.care().CaredFor()) {
    const bool vessel = fold_.directory().kind(thing) == rundlet::v1::Thing::kVessel;
    if (vessel && fold_.state().holding(thing).volume_ul == 0) JudgeThing(thing, findings);
  }
  absl::flat_hash_set<Handle> left;
  for (const Balance& balance : fold_.state().balances()) {
    const CommodityInfo& info = fold_.commodities().info(balance.commodity);
    if (balance.amount > 0 && info.kind == CommodityInfo::Kind::kBottles) left.insert(info.handle);
  }
  for (const Handle bottling : index_.Bottlings()) {
    if (drunk || left.contains(bottling)) JudgeThing(bottling, findings);
  }
  Sort(findings);
  return findings;
}

}  // namespace rundlet::rules
