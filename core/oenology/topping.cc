#include "core/oenology/topping.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/oenology/answer.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kUllage = {"ullage",
                          "Wine missing to the brim",
                          "L = capacity - volume",
                          "capacity up to the bung or stopper",
                          "that of the gauge; wine of 20 C grows by 0.2 % to 28 C",
                          "arithmetic",
                          Standing::kDerived};
const Equation kToppingChoice = {
    "topping-choice",
    "Which wines would serve for topping",
    "penalties: other colour 4, other lot 1, each % vol 0.5, each 10 g/L of sugar 1, unknown 0.5",
    "healthy wines that do not ferment (above SG 1.000: left out); taste before you top",
    "an order, no measure",
    "the same wine first, then its like: common practice",
    Standing::kPractice};

namespace {

constexpr double kOtherColour = 4;
constexpr double kOtherLot = 1;
constexpr double kPerAlcoholPct = 0.5;
constexpr double kPerSugarGL = 0.1;
constexpr double kUnknown = 0.5;

// Adds the penalty of a measured difference, and words for one that can be tasted.
void Compare(const std::optional<double>& wanted, const std::optional<double>& have, double weight,
             double notable, absl::string_view more, absl::string_view less, absl::string_view unit,
             ToppingChoice& choice, std::vector<std::string>& words) {
  if (!wanted || !have || !std::isfinite(*wanted) || !std::isfinite(*have)) {
    choice.distance += kUnknown;
    return;
  }
  const double by = *have - *wanted;
  choice.distance += std::min(std::fabs(by) * weight, 10.0);
  if (std::fabs(by) >= notable) {
    words.push_back(absl::StrCat(Print(std::fabs(by), 1), " ", unit, " ", by > 0 ? more : less));
  }
}

ToppingChoice Judge(const ToppingWine& wine, double missing_l, const ToppingWine& candidate) {
  ToppingChoice choice{.name = candidate.name,
                       .enough = candidate.volume_l >= missing_l,
                       .take_l = std::min(missing_l, candidate.volume_l)};
  std::vector<std::string> words;
  if (wine.colour.empty() || candidate.colour.empty()) {
    choice.distance += kUnknown;
  } else if (wine.colour != candidate.colour) {
    choice.distance += kOtherColour;
    words.push_back(absl::StrCat(candidate.colour, ", not ", wine.colour));
  }
  if (!wine.lot.empty() && wine.lot == candidate.lot) {
    // The same wine: what is unknown of one is unknown of the other.
    choice.difference = absl::StrJoin(words, "; ");
    return choice;
  }
  choice.distance += kOtherLot;
  words.push_back("other lot");
  Compare(wine.alcohol_pct, candidate.alcohol_pct, kPerAlcoholPct, 0.3, "stronger", "weaker",
          "% vol", choice, words);
  Compare(wine.sugar_g_l, candidate.sugar_g_l, kPerSugarGL, 2, "sweeter", "drier", "g/L", choice,
          words);
  choice.difference = absl::StrJoin(words, "; ");
  return choice;
}

}  // namespace

absl::StatusOr<double> UllageL(double capacity_l, double volume_l) {
  if (absl::Status bad = FirstError({CheckRange("capacity", capacity_l, 0.01, 1e6, "L"),
                                     CheckRange("volume", volume_l, 0, 1.005 * capacity_l, "L")});
      !bad.ok()) {
    return bad;
  }
  return std::max(0.0, capacity_l - volume_l);
}

bool LikelyFermenting(const ToppingWine& wine) {
  constexpr double kStillSweet = 1.000;
  return wine.gravity.has_value() && std::isfinite(*wine.gravity) && *wine.gravity > kStillSweet;
}

std::vector<ToppingChoice> RankTopping(const ToppingWine& wine, double missing_l,
                                       absl::Span<const ToppingWine> candidates) {
  std::vector<ToppingChoice> choices;
  for (const ToppingWine& candidate : candidates) {
    if (candidate.volume_l > 0 && !LikelyFermenting(candidate))
      choices.push_back(Judge(wine, missing_l, candidate));
  }
  std::stable_sort(choices.begin(), choices.end(),
                   [](const ToppingChoice& a, const ToppingChoice& b) {
                     if (a.distance != b.distance) return a.distance < b.distance;
                     return a.enough && !b.enough;
                   });
  return choices;
}

}  // namespace rundlet::oenology
