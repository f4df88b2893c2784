// Limits of law held against a wine, statements, and what is in it.
#include <algorithm>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/rules/judge.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

// Rounded up to a tenth of a milligram, so that what is past a figure never looks like it.
std::string AmountText(int64_t ug_l) {
  return FigureText((ug_l + 99) / 100 * 100, v1::UNIT_UG_PER_L);
}

int64_t PerLitre(int64_t mass_ug, int64_t volume_ul) {
  return static_cast<int64_t>(static_cast<__int128>(mass_ug) * 1'000'000 / volume_ul);
}

// Micrograms a litre of what a reading says, by its unit.
std::optional<int64_t> ReadUgPerL(const WineEvent& reading) {
  switch (reading.unit) {
    case rundlet::v1::READING_UNIT_MG_PER_L:
      return reading.value / 1000;
    case rundlet::v1::READING_UNIT_G_PER_L:
    case rundlet::v1::READING_UNIT_G_PER_L_ACETIC:
      return reading.value;
    default:
      return std::nullopt;
  }
}

// What is held against a limit: how much, and how that is known.
struct Amount {
  int64_t ug_l = 0;
  RowId entry = kNone;
  std::string how;
};

// The last addition of any of the substances; the last change of the wine where it came in a blend.
RowId LastAddition(const Case& c, absl::Span<const v1::Substance> substances) {
  for (size_t i = c.wine.events.size(); i-- > 0;) {
    const WineEvent& event = c.wine.events[i];
    if (event.kind != WineEvent::Kind::kAdded) continue;
    const v1::Group* group = c.materials.GroupOf(event.material);
    if (group != nullptr &&
        std::find(substances.begin(), substances.end(), group->substance()) != substances.end())
      return event.row;
  }
  return c.wine.row;
}

std::optional<Amount> Added(const Case& c, absl::Span<const v1::Substance> substances,
                            absl::string_view counted_as) {
  int64_t mass_ug = 0;
  for (const v1::Substance substance : substances)
    mass_ug += c.materials.MassOf(c.wine.doses, substance, counted_as);
  if (mass_ug == 0) return std::nullopt;
  return Amount{.ug_l = PerLitre(mass_ug, c.wine.volume_ul),
                .entry = LastAddition(c, substances),
                .how = "added in all"};
}

// By the latest reading of a kind, unless sulfite was added after it.
std::optional<Amount> Measured(const Case& c, rundlet::v1::ReadingKind kind) {
  const WineEvent* reading = kind == 0 ? nullptr : c.LastReading(kind);
  if (reading == nullptr) return std::nullopt;
  v1::Happening sulfite;
  sulfite.add_groups("sulfite");
  const WineEvent* later = c.Last(sulfite);
  const auto ug_l = ReadUgPerL(*reading);
  const bool of_so2 =
      kind == rundlet::v1::READING_KIND_FREE_SO2 || kind == rundlet::v1::READING_KIND_TOTAL_SO2;
  if (!ug_l.has_value() || (of_so2 && later != nullptr && later->position > reading->position))
    return std::nullopt;
  return Amount{.ug_l = *ug_l, .entry = reading->row, .how = "by its last reading"};
}

bool OnlyColourOrSugar(const std::vector<Missing>& missing) {
  return std::all_of(missing.begin(), missing.end(), [](Missing what) {
    return what == Missing::kColour || what == Missing::kSugar;
  });
}

std::string LimitWords(const Quote& quote) {
  return absl::StrCat(quote.name, ": ", quote.figure, quote.condition.empty() ? "" : "; ",
                      quote.condition);
}

// Whether the amount is past the limit; a limit that sums several substances sums them here.
std::optional<Amount> Past(const Case& c, const Limit& limit, const Amount* measured) {
  const bool ceiling = limit.kind == v1::KIND_CEILING && limit.unit == v1::UNIT_UG_PER_L;
  if (measured != nullptr) {
    const bool past = ceiling && limit.basis != v1::BASIS_ADDED && Crosses(limit, measured->ug_l);
    return past ? std::optional<Amount>(*measured) : std::nullopt;
  }
  if (!c.rule().legal_limit().added()) return std::nullopt;
  const auto added = Added(c, limit.substances, limit.counted_as);
  if (!added.has_value()) return std::nullopt;
  if (limit.kind != v1::KIND_FORBIDDEN && !(ceiling && Crosses(limit, added->ug_l)))
    return std::nullopt;
  return added;
}

void AddLimit(const Case& c, const Limit& limit, const Amount& amount,
              const std::vector<Missing>& missing) {
  const Quote quote = QuoteOf(limit);
  std::string text = LimitWords(quote);
  if (!missing.empty()) {
    absl::StrAppend(
        &text, " (whether it applies, ",
        absl::StrJoin(missing, " and ",
                      [](std::string* out, Missing what) { absl::StrAppend(out, Name(what)); }),
        " would show)");
  }
  Finding& finding = c.Add(
      amount.entry, {{"amount", AmountText(amount.ug_l)},
                     {"substance", absl::StrCat(Name(limit.substances.front()), ", ", amount.how)},
                     {"limit", std::move(text)}});
  finding.limit_id = limit.id;
  finding.legal = true;
  finding.source =
      quote.caveat.empty() ? quote.citation : absl::StrCat(quote.citation, "; ", quote.caveat);
  if (!missing.empty()) finding.severity = v1::SEVERITY_NOTE;
}

bool AnyDose(const Case& c, v1::Substance substance) {
  return std::any_of(c.wine.doses.begin(), c.wine.doses.end(), [&](const Share& dose) {
    const v1::Group* group = c.materials.GroupOf(c.fold.commodities().info(dose.of).handle);
    return group != nullptr && group->substance() == substance;
  });
}

}  // namespace

void JudgeLegalLimit(const Case& c) {
  const v1::LegalLimit& rule = c.rule().legal_limit();
  const auto measured = Measured(c, rule.reading());
  WineClass wine = c.wine_class;
  if (rule.stage() != v1::STAGE_UNSPECIFIED) wine.stage = rule.stage();
  absl::flat_hash_set<absl::string_view> seen;
  for (const int number : rule.substances()) {
    const auto substance = static_cast<v1::Substance>(number);
    if (!measured.has_value() && !AnyDose(c, substance)) continue;
    const LimitsFound found = LimitsFor(c.jurisdictions, substance, wine);
    const auto judge = [&](const Limit& limit, const std::vector<Missing>& missing) {
      const auto past = Past(c, limit, measured.has_value() ? &*measured : nullptr);
      if (past.has_value() && seen.insert(limit.id).second) AddLimit(c, limit, *past, missing);
    };
    for (const Limit* limit : found.applying) judge(*limit, {});
    for (const PossibleLimit& possible : found.possible) {
      if (OnlyColourOrSugar(possible.missing)) judge(*possible.limit, possible.missing);
    }
  }
}

void JudgeStatement(const Case& c) {
  const v1::Statement& rule = c.rule().statement();
  auto amount = Measured(c, rule.reading());
  const v1::Substance substances[] = {rule.substance()};
  if (!amount.has_value()) amount = Added(c, substances, "");
  if (!amount.has_value()) return;
  const std::string text = absl::StrCat(AmountText(amount->ug_l), " (", amount->how, ")");
  if (c.jurisdictions.empty()) {
    if (amount->ug_l < rule.from_ug_per_l()) return;
    c.Add(amount->entry,
          {{"amount", text},
           {"limit", absl::StrCat("no jurisdiction is set; from ", AmountText(rule.from_ug_per_l()),
                                  " in most places")}})
        .legal = true;
    return;
  }
  for (const Limit* limit : LimitsFor(c.jurisdictions, rule.substance(), c.wine_class).applying) {
    if (limit->kind != v1::KIND_STATEMENT || !Crosses(*limit, amount->ug_l)) continue;
    const Quote quote = QuoteOf(*limit);
    Finding& finding = c.Add(amount->entry, {{"amount", text}, {"limit", LimitWords(quote)}});
    finding.limit_id = limit->id;
    finding.legal = true;
    finding.source =
        quote.caveat.empty() ? quote.citation : absl::StrCat(quote.citation, "; ", quote.caveat);
  }
}

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

}  // namespace

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
    RowId entry = c.wine.row;
    for (const WineEvent& event : c.wine.events) {
      if (event.kind == WineEvent::Kind::kAdded && event.material == material) entry = event.row;
    }
    c.Add(entry, {{"what", c.materials.NameOf(material)},
                  {"allergen", group->allergen()},
                  {"standing", StandingOf(c, group->substance())}})
        .legal = true;
  }
}

}  // namespace rundlet::rules
