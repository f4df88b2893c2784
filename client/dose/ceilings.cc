#include "client/dose/ceilings.h"

#include <string>

#include "absl/strings/str_cat.h"
#include "core/rules/limits.h"
#include "core/rules/lot_class.h"
#include "core/rules/quote.h"
#include "core/rules/words.h"

namespace rundlet::client {
namespace {

namespace limit = rules::v1;

constexpr double kUgPerMg = 1000;

rules::WineClass ClassOf(const DoseCase& dose, bool must) {
  rules::WineClass wine = rules::ClassOfLot(dose.wine.lot());
  if (const auto sugar_g_l = dose.wine.SugarGL())
    wine.sugar_ug_l = static_cast<int64_t>(*sugar_g_l * kUgPerMg * kUgPerMg);
  if (must) wine.stage = limit::STAGE_MUST;
  return wine;
}

// "the limits shown are those for still, conventional wine of grapes".
std::string WhoseLimits(const DoseCase& dose) {
  const rules::WineClass wine = ClassOf(dose, false);
  return absl::StrCat(
      "the limits shown are those for ", rules::Name(*wine.style), ", ", rules::Name(*wine.scheme),
      " wine of ", rules::Name(*wine.fruit),
      rules::IsForHome(dose.wine.lot()) ? " that is sold; for yours they are advice" : "");
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
  if (!ceilings.empty()) dose.notes->push_back(WhoseLimits(dose));
  for (const std::string& silent : found.silent) {
    dose.notes->push_back(absl::StrCat("of ", silent,
                                       " no limit on this is known here, which is no leave to use "
                                       "it"));
  }
  return ceilings;
}

}  // namespace rundlet::client
