// Limits of law held against a wine.
#include <algorithm>
#include <cstdlib>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/rules/judge_amount.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

// A limit that the wine is past.
struct Passed {
  const Limit* limit = nullptr;
  Amount amount;
  std::vector<Missing> missing;  // what would show whether it applies
};

// One rule of law against one wine.
class LimitCase {
 public:
  explicit LimitCase(const Case& c)
      : c_(c), rule_(c.rule().legal_limit()), measured_(Measured(c, rule_.reading())) {
    wine_ = c.wine_class;
    if (rule_.stage() != v1::STAGE_UNSPECIFIED) wine_.stage = rule_.stage();
  }

  void Judge() {
    for (const int number : rule_.substances()) {
      const auto substance = static_cast<v1::Substance>(number);
      if (!measured_.has_value() && !AnyDoseOf(c_, substance)) continue;
      for (const std::string& code : c_.jurisdictions) JudgeOne(code, substance);
    }
  }

 private:
  void JudgeOne(const std::string& code, v1::Substance substance);
  // Whether the amount is past the limit; a limit that sums several substances sums them here.
  std::optional<Amount> Past(const Limit& limit) const;
  bool Asked(const Limit& limit) const;
  // Whether what is missing can be looked through: colour, sugar, and a class where the rule asks
  // for it.
  bool CanBeLookedThrough(const std::vector<Missing>& missing) const;
  // Whether the wine is past some limit, whichever of these classes it is in.
  bool PastInEveryClass(const std::string& code, v1::Substance substance,
                        absl::Span<const PossibleLimit> possible) const;
  void Tell(const Passed& passed, absl::string_view standing);
  void TellDoubtful(const Passed& passed);
  void TellHighest(const std::vector<Passed>& all);

  const Case& c_;
  const v1::LegalLimit& rule_;
  const std::optional<Amount> measured_;
  WineClass wine_;
  absl::flat_hash_set<absl::string_view> told_;
};

bool LimitCase::Asked(const Limit& limit) const {
  return std::find(rule_.leaving_out().begin(), rule_.leaving_out().end(), limit.id) ==
         rule_.leaving_out().end();
}

std::optional<Amount> LimitCase::Past(const Limit& limit) const {
  if (!Asked(limit)) return std::nullopt;
  const bool ceiling = limit.kind == v1::KIND_CEILING;
  if (measured_.has_value()) {
    const bool by_mass = limit.unit == v1::UNIT_UG_PER_L || limit.unit == v1::UNIT_UG_PER_KG;
    const bool past =
        ceiling && by_mass && limit.basis != v1::BASIS_ADDED && Crosses(limit, measured_->value);
    return past ? measured_ : std::nullopt;
  }
  if (!rule_.added()) return std::nullopt;
  if (!ceiling && limit.kind != v1::KIND_FORBIDDEN) return std::nullopt;
  // Of what falls to the ground again, the book does not know what stays in the wine.
  if (limit.basis == v1::BASIS_RESIDUAL && c_.materials.AnyFiningIs(limit.substances))
    return std::nullopt;
  auto added = AddedFor(c_, limit);
  if (!added.has_value() || (ceiling && !Crosses(limit, added->value))) return std::nullopt;
  return added;
}

bool LimitCase::CanBeLookedThrough(const std::vector<Missing>& missing) const {
  return std::all_of(missing.begin(), missing.end(), [&](Missing what) {
    return what == Missing::kColour || what == Missing::kSugar ||
           (what == Missing::kSpecialClass && rule_.special_classes());
  });
}

bool LimitCase::PastInEveryClass(const std::string& code, v1::Substance substance,
                                 absl::Span<const PossibleLimit> possible) const {
  std::vector<std::optional<v1::Colour>> colours = {wine_.colour};
  if (!wine_.colour.has_value()) colours = {v1::COLOUR_RED, v1::COLOUR_ROSE, v1::COLOUR_WHITE};
  std::vector<std::optional<int64_t>> sugars = {wine_.sugar_ug_l};
  std::vector<std::string> special;
  if (!wine_.sugar_ug_l.has_value()) sugars = {0};
  for (const PossibleLimit& one : possible) {
    if (!wine_.sugar_ug_l.has_value()) {
      for (const auto& border : {one.limit->scope.sugar_from, one.limit->scope.sugar_to}) {
        if (!border.has_value()) continue;
        for (const int64_t beside : {-1, 0, 1}) sugars.push_back(border->sugar_ug_l + beside);
      }
    }
    if (rule_.special_classes() && one.limit->scope.special.has_value())
      special.push_back(one.limit->scope.special->id);
  }
  std::sort(sugars.begin(), sugars.end());
  sugars.erase(std::unique(sugars.begin(), sugars.end()), sugars.end());
  if (special.empty()) special.emplace_back();
  WineClass wine = wine_;
  for (const auto& colour : colours) {
    for (const auto& sugar : sugars) {
      for (const std::string& one : special) {
        wine.colour = colour;
        wine.sugar_ug_l = sugar;
        wine.special.clear();
        if (!one.empty()) wine.special.push_back(one);
        const LimitsFound found = LimitsFor({code}, substance, wine);
        if (std::none_of(found.applying.begin(), found.applying.end(),
                         [&](const Limit* limit) { return Past(*limit).has_value(); }))
          return false;
      }
    }
  }
  return true;
}

void LimitCase::Tell(const Passed& passed, absl::string_view standing) {
  if (!told_.insert(passed.limit->id).second) return;
  AddLegal(
      c_, *passed.limit, passed.amount.entry,
      {{"amount", AmountText(passed.amount)},
       {"substance", absl::StrCat(Name(passed.limit->substances.front()), ", ", passed.amount.how)},
       {"limit", absl::StrCat(LimitWords(c_, QuoteOf(*passed.limit)), standing)}});
}

std::string JoinedNames(const std::vector<Missing>& missing) {
  return absl::StrJoin(missing, " and ",
                       [](std::string* out, Missing what) { absl::StrAppend(out, Name(what)); });
}

void LimitCase::TellDoubtful(const Passed& passed) {
  const size_t before = c_.findings.size();
  Tell(passed, absl::StrCat(" (whether it applies, ", JoinedNames(passed.missing), " would show)"));
  if (c_.findings.size() > before) c_.findings.back().severity = v1::SEVERITY_NOTE;
}

void LimitCase::TellHighest(const std::vector<Passed>& all) {
  const Passed& highest = *std::max_element(
      all.begin(), all.end(),
      [](const Passed& a, const Passed& b) { return a.limit->value < b.limit->value; });
  Tell(highest, absl::StrCat(" (the highest that may apply, whatever ",
                             JoinedNames(highest.missing), " may show)"));
}

void LimitCase::JudgeOne(const std::string& code, v1::Substance substance) {
  const LimitsFound found = LimitsFor({code}, substance, wine_);
  for (const Limit* limit : found.applying) {
    if (auto past = Past(*limit); past.has_value()) Tell({limit, *std::move(past), {}}, "");
  }
  std::vector<Passed> doubtful;
  std::vector<PossibleLimit> possible;
  for (const PossibleLimit& one : found.possible) {
    if (!CanBeLookedThrough(one.missing)) continue;
    possible.push_back(one);
    if (auto past = Past(*one.limit); past.has_value())
      doubtful.push_back({one.limit, *std::move(past), one.missing});
  }
  if (doubtful.empty()) return;
  if (PastInEveryClass(code, substance, possible)) return TellHighest(doubtful);
  for (const Passed& passed : doubtful) TellDoubtful(passed);
}

}  // namespace

void JudgeLegalLimit(const Case& c) { LimitCase(c).Judge(); }

}  // namespace rundlet::rules
