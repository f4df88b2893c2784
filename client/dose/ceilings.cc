#include "client/dose/ceilings.h"

#include <optional>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"

namespace rundlet::client {
namespace {

namespace limit = rules::v1;

constexpr double kUgPerMg = 1000;

// By whole words: "rosso" is red.
std::optional<limit::Colour> ColourOf(const std::string& text) {
  struct Word {
    absl::string_view word;
    limit::Colour colour;
  };
  static constexpr Word kWords[] = {
      {"red", limit::COLOUR_RED},      {"rosso", limit::COLOUR_RED},
      {"rouge", limit::COLOUR_RED},    {"tinto", limit::COLOUR_RED},
      {"rose", limit::COLOUR_ROSE},    {"ros\u00e9", limit::COLOUR_ROSE},
      {"rosado", limit::COLOUR_ROSE},  {"rosato", limit::COLOUR_ROSE},
      {"white", limit::COLOUR_WHITE},  {"blanc", limit::COLOUR_WHITE},
      {"bianco", limit::COLOUR_WHITE}, {"blanco", limit::COLOUR_WHITE},
      {"orange", limit::COLOUR_WHITE},
  };
  const std::string lower = absl::AsciiStrToLower(text);
  for (const absl::string_view part : absl::StrSplit(lower, absl::ByAnyChar(" -/,"))) {
    for (const Word& known : kWords) {
      if (part == known.word) return known.colour;
    }
  }
  return std::nullopt;
}

rules::WineClass ClassOf(const DoseCase& dose, bool must) {
  rules::WineClass wine;
  wine.colour = ColourOf(dose.wine.colour());
  if (const auto sugar_g_l = dose.wine.SugarGL())
    wine.sugar_ug_l = static_cast<int64_t>(*sugar_g_l * kUgPerMg * kUgPerMg);
  wine.style = limit::STYLE_STILL;
  wine.fruit = limit::FRUIT_GRAPE;
  wine.stage = must ? limit::STAGE_MUST : limit::STAGE_WINE;
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

// Whether the limit says something that can be held against one number of the question.
bool CanBeCompared(const rules::Limit& limit, const CeilingQuestion& question) {
  if (limit.substances.size() != 1) return false;
  if (limit.kind == limit::KIND_FORBIDDEN) return true;
  if (limit.kind != limit::KIND_CEILING) return false;
  // A kilogram of wine is a litre, to within what anybody can measure here.
  if (limit.unit != limit::UNIT_UG_PER_L && limit.unit != limit::UNIT_UG_PER_KG) return false;
  return question.in_the_wine == (limit.basis != limit::BASIS_ADDED);
}

void Add(const rules::Limit& limit, const CeilingQuestion& question, const DoseCase& dose,
         std::vector<oenology::Ceiling>& ceilings) {
  if (limit.kind != limit::KIND_CEILING && limit.kind != limit::KIND_FORBIDDEN) return;
  if (!CanBeCompared(limit, question)) {
    dose.notes->push_back(absl::StrCat("the law also says: ", rules::QuoteLine(limit)));
    return;
  }
  const double factor = question.per_g ? 1 / kUgPerMg / kUgPerMg : 1 / kUgPerMg;
  const rules::Quote quote = rules::QuoteOf(limit);
  ceilings.push_back(
      {.name = quote.caveat.empty() ? quote.name : absl::StrCat(quote.name, ", ", quote.caveat),
       .limit =
           limit.kind == limit::KIND_FORBIDDEN ? 0 : static_cast<double>(limit.value) * factor});
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

std::vector<oenology::Ceiling> CeilingsFor(const DoseCase& dose, const CeilingQuestion& question) {
  std::vector<oenology::Ceiling> ceilings;
  const auto& codes = dose.fold.directory().settings().jurisdictions().codes();
  if (codes.empty()) {
    dose.notes->push_back(
        "the cellar has not said whose law binds it: rundlet settings change --jurisdictions EU");
    return ceilings;
  }
  const std::vector<std::string> jurisdictions(codes.begin(), codes.end());
  const rules::LimitsFound found =
      rules::LimitsFor(jurisdictions, question.substance, ClassOf(dose, question.in_must));
  for (const rules::Limit* applying : found.applying) Add(*applying, question, dose, ceilings);
  for (const rules::PossibleLimit& possible : found.possible) {
    if (IsOfAWineLikeThis(possible)) Add(*possible.limit, question, dose, ceilings);
  }
  if (!ceilings.empty())
    dose.notes->push_back("the limits shown are those for still wine of grapes");
  for (const std::string& silent : found.silent) {
    dose.notes->push_back(absl::StrCat("of ", silent,
                                       " no limit on this is known here, which is no leave to use "
                                       "it"));
  }
  return ceilings;
}

}  // namespace rundlet::client
