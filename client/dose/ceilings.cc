#include "client/dose/ceilings.h"

#include <optional>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"

namespace rundlet::client {
namespace {

namespace limit = rules::v1;

constexpr double kUgPerMg = 1000;

std::optional<limit::Colour> ColourOf(const std::string& word) {
  const std::string colour = absl::AsciiStrToLower(word);
  if (absl::StrContains(colour, "red")) return limit::COLOUR_RED;
  if (absl::StrContains(colour, "ros")) return limit::COLOUR_ROSE;
  if (absl::StrContains(colour, "white") || absl::StrContains(colour, "orange"))
    return limit::COLOUR_WHITE;
  return std::nullopt;
}

rules::WineClass ClassOf(const DoseCase& dose) {
  rules::WineClass wine;
  wine.colour = ColourOf(dose.wine.colour());
  if (const auto sugar_g_l = dose.wine.SugarGL())
    wine.sugar_ug_l = static_cast<int64_t>(*sugar_g_l * kUgPerMg * kUgPerMg);
  wine.style = limit::STYLE_STILL;
  wine.fruit = limit::FRUIT_GRAPE;
  wine.stage = limit::STAGE_WINE;
  wine.scheme = limit::SCHEME_CONVENTIONAL;
  return wine;
}

// Whether nothing but the colour or the sugar stands between the wine and the limit.
bool IsOfAWineLikeThis(const rules::PossibleLimit& possible) {
  for (const rules::Missing missing : possible.missing) {
    if (missing != rules::Missing::kColour && missing != rules::Missing::kSugar) return false;
  }
  return true;
}

void AddCeiling(const rules::Limit& limit, double factor,
                std::vector<oenology::Ceiling>& ceilings) {
  const bool forbidden = limit.kind == limit::KIND_FORBIDDEN;
  const bool has_figure = limit.kind == limit::KIND_CEILING && limit.unit == limit::UNIT_UG_PER_L;
  if ((!forbidden && !has_figure) || limit.substances.size() != 1) return;
  const rules::Quote quote = rules::QuoteOf(limit);
  ceilings.push_back(
      {.name = quote.caveat.empty() ? quote.name : absl::StrCat(quote.name, ", ", quote.caveat),
       .limit = forbidden ? 0 : static_cast<double>(limit.value) * factor});
}

}  // namespace

limit::Substance SubstanceOf(oenology::Fining fining) {
  using oenology::Fining;
  switch (fining) {
    case Fining::kBentonite:
      return limit::SUBSTANCE_BENTONITE;
    case Fining::kSilicaSol:
      return limit::SUBSTANCE_SILICA;
    case Fining::kGelatineWhite:
    case Fining::kGelatineRed:
      return limit::SUBSTANCE_GELATINE;
    case Fining::kChitosan:
      return limit::SUBSTANCE_CHITOSAN;
    case Fining::kCasein:
      return limit::SUBSTANCE_CASEIN;
    case Fining::kIsinglass:
      return limit::SUBSTANCE_ISINGLASS;
    case Fining::kEggAlbumin:
      return limit::SUBSTANCE_EGG_ALBUMIN;
    case Fining::kPvpp:
      return limit::SUBSTANCE_PVPP;
    case Fining::kTannin:
      return limit::SUBSTANCE_TANNIN;
    case Fining::kOakChips:
      return limit::SUBSTANCE_OAK;
  }
  return limit::SUBSTANCE_UNSPECIFIED;
}

std::vector<oenology::Ceiling> CeilingsFor(const DoseCase& dose, limit::Substance substance,
                                           bool per_g) {
  std::vector<oenology::Ceiling> ceilings;
  const auto& codes = dose.fold.directory().settings().jurisdictions().codes();
  const std::vector<std::string> jurisdictions(codes.begin(), codes.end());
  const double factor = per_g ? 1 / kUgPerMg / kUgPerMg : 1 / kUgPerMg;
  const rules::LimitsFound found = rules::LimitsFor(jurisdictions, substance, ClassOf(dose));
  for (const rules::Limit* applying : found.applying) AddCeiling(*applying, factor, ceilings);
  for (const rules::PossibleLimit& possible : found.possible) {
    if (IsOfAWineLikeThis(possible)) AddCeiling(*possible.limit, factor, ceilings);
  }
  return ceilings;
}

}  // namespace rundlet::client
