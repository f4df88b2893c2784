// What a label owes, what is in a wine, and what nobody can count of it.
#include <algorithm>
#include <string>
#include <vector>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/rules/judge_amount.h"

namespace rundlet::rules {
namespace {

// What the cellar's jurisdictions say of a substance, in a few words.
std::string StandingOf(const Case& c, v1::Substance substance) {
  if (c.jurisdictions.empty()) return "no jurisdiction is set, so nothing is known of the law";
  std::vector<std::string> parts;
  for (const std::string& code : c.jurisdictions) {
    const LimitsFound found = LimitsFor({code}, substance, c.wine_class);
    const bool forbidden =
        std::any_of(found.applying.begin(), found.applying.end(),
                    [](const Limit* limit) { return limit->kind == v1::KIND_FORBIDDEN; });
    const bool listed = !found.applying.empty() || !found.possible.empty();
    parts.push_back(absl::StrCat(code, forbidden ? ": not authorised"
                                       : listed  ? ": listed"
                                                 : ": nothing is listed here, which is no leave"));
  }
  return absl::StrJoin(parts, ", ");
}

// The last time that it was added; the last change of the wine where it came in a blend.
RowId LastOf(const Case& c, Handle material) {
  RowId entry = c.wine.row;
  for (const WineEvent& event : c.wine.events) {
    if (event.kind == WineEvent::Kind::kAdded && event.material == material) entry = event.row;
  }
  return entry;
}

// Whether a limit of the cellar's jurisdictions has a figure for it.
bool LawCounts(const Case& c, v1::Substance substance) {
  if (substance == v1::SUBSTANCE_TOTAL_SO2) return true;  // a label owes its statement anywhere
  const LimitsFound found = LimitsFor(c.jurisdictions, substance, c.wine_class);
  const auto counts = [](const Limit& limit) { return limit.kind == v1::KIND_CEILING; };
  return std::any_of(found.applying.begin(), found.applying.end(),
                     [&](const Limit* limit) { return counts(*limit); }) ||
         std::any_of(found.possible.begin(), found.possible.end(),
                     [&](const PossibleLimit& possible) { return counts(*possible.limit); });
}

}  // namespace

void JudgeStatement(const Case& c) {
  const v1::Statement& rule = c.rule().statement();
  auto amount = Measured(c, rule.reading());
  const v1::Substance substances[] = {rule.substance()};
  if (!amount.has_value()) amount = AddedByMass(c, substances, "");
  if (!amount.has_value()) return;
  const std::string text = absl::StrCat(AmountText(*amount), " (", amount->how, ")");
  std::vector<std::string> silent;  // jurisdictions whose figure is not known here
  for (const std::string& code : c.jurisdictions) {
    bool known = false;
    for (const Limit* limit : LimitsFor({code}, rule.substance(), c.wine_class).applying) {
      if (limit->kind != v1::KIND_STATEMENT) continue;
      known = true;
      if (!Crosses(*limit, amount->value)) continue;
      AddLegal(c, *limit, amount->entry,
               {{"amount", text}, {"limit", LimitWords(c, QuoteOf(*limit))}});
    }
    if (!known) silent.push_back(code);
  }
  if ((!silent.empty() || c.jurisdictions.empty()) && amount->value >= rule.from_ug_per_l()) {
    const Amount from{.value = rule.from_ug_per_l(), .unit = v1::UNIT_UG_PER_L};
    c.Add(amount->entry,
          {{"amount", text},
           {"limit",
            absl::StrCat(silent.empty() ? "no jurisdiction is set"
                                        : absl::StrCat("no figure of ", absl::StrJoin(silent, ", "),
                                                       " is known here"),
                         "; from ", AmountText(from), " in most places",
                         c.for_home ? ", of wine that is sold; advice for yours" : "")}})
        .legal = true;
  }
}

void JudgePresence(const Case& c) {
  const auto& groups = c.rule().presence().groups();
  absl::flat_hash_set<Handle> told;
  for (const Share& dose : c.wine.doses) {
    const Handle material = c.fold.commodities().info(dose.of).handle;
    const v1::Group* group = c.materials.GroupOf(material);
    if (group == nullptr || !told.insert(material).second) continue;
    const bool meant = groups.empty()
                           ? !group->allergen().empty()
                           : std::find(groups.begin(), groups.end(), group->id()) != groups.end();
    if (!meant) continue;
    c.Add(LastOf(c, material), {{"what", c.materials.NameOf(material)},
                                {"allergen", group->allergen()},
                                {"standing", StandingOf(c, group->substance())}})
        .legal = true;
  }
}

void JudgeUncounted(const Case& c) {
  for (const Share& dose : c.wine.doses) {
    const CommodityInfo& info = c.fold.commodities().info(dose.of);
    const absl::string_view why = c.materials.WhyUncounted(info);
    if (why.empty() || !LawCounts(c, c.materials.GroupOf(info.handle)->substance())) continue;
    c.Add(LastOf(c, info.handle),
          {{"what", c.materials.NameOf(info.handle)}, {"need", std::string(why)}});
  }
}

}  // namespace rundlet::rules
