#include "core/oenology/answers/blend_answer.h"

#include <cmath>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kTraceL = 0.0005;  // what nobody can measure out

void MindBlend(Answer& answer) {
  answer.Rest(kBlendMean);
  answer.Assume("the readings are of the wines as they are now, and the vessel gets mixed");
  answer.Warn("pH cannot be averaged: measure it in a small blend first");
  answer.Warn("free SO2 finds a new balance: measure it a day after");
  answer.Warn(
      "make a small blend first, taste it, and watch it for haze and crystals for some days");
}

// The values of a goal; nothing if one that counts is missing, which is said.
std::vector<double> ValuesOf(const std::vector<BlendWine>& wines,
                             const std::vector<double>& volumes_l, const BlendGoal& goal, size_t g,
                             Answer& answer) {
  std::vector<double> values;
  for (size_t i = 0; i < wines.size(); ++i) {
    if (g < wines[i].values.size() && wines[i].values[g]) {
      values.push_back(*wines[i].values[g]);
    } else if (volumes_l[i] <= 0) {
      values.push_back(0);
    } else {
      answer.Warn(absl::StrCat(wines[i].name, " has no reading of ", goal.name,
                               ": take one, then the blend's can be told"));
      return {};
    }
  }
  return values;
}

void HoldAgainst(const BlendGoal& goal, double value, Answer& answer) {
  const double slack = 1e-4 * goal.scale;
  const auto print = [&](double number) {
    return PrintFigure({"", number, goal.decimals, goal.unit});
  };
  if (goal.low && value < *goal.low - slack) {
    answer.Warn(absl::StrCat(goal.name, " is below ", print(*goal.low)));
  }
  if (goal.high && value > *goal.high + slack) {
    answer.Warn(absl::StrCat(goal.name, " is above ", print(*goal.high)));
  }
  if (goal.target && std::fabs(value - *goal.target) > 1e-3 * goal.scale) {
    answer.Warn(absl::StrCat(goal.name, " misses its target of ", print(*goal.target)));
  }
}

absl::Status AddValues(const std::vector<BlendWine>& wines, const std::vector<double>& volumes_l,
                       const std::vector<BlendGoal>& goals, Answer& answer) {
  for (size_t g = 0; g < goals.size(); ++g) {
    const BlendGoal& goal = goals[g];
    const std::vector<double> values = ValuesOf(wines, volumes_l, goal, g, answer);
    if (values.empty()) continue;
    const absl::StatusOr<double> mean = BlendMean(volumes_l, values);
    if (!mean.ok()) return mean.status();
    std::vector<std::string> terms;
    double sum_l = 0;
    for (size_t i = 0; i < wines.size(); ++i) {
      sum_l += volumes_l[i];
      if (volumes_l[i] <= 0) continue;
      terms.push_back(absl::StrCat(Print(volumes_l[i], 2), " x ", Print(values[i], goal.decimals)));
    }
    answer.Step(absl::StrCat(goal.name, " = (", absl::StrJoin(terms, " + "), ") / ",
                             Print(sum_l, 2), " = ", Print(*mean, goal.decimals), " ", goal.unit));
    answer.Add(goal.name, *mean, goal.decimals, goal.unit);
    HoldAgainst(goal, *mean, answer);
    if (goal.name != kAlcoholGoal) continue;
    const absl::StatusOr<BlendAlcohol> by_mass = BlendAlcoholByMass(volumes_l, values);
    if (!by_mass.ok()) return by_mass.status();
    answer.Add("alcohol, by mass", by_mass->alcohol_pct, 2, "% vol");
    answer.Add("volume, by mass", by_mass->volume_l, 2, "L");
  }
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<Answer> AnswerBlendValues(const std::vector<BlendWine>& wines,
                                         const std::vector<BlendGoal>& goals) {
  std::vector<double> volumes_l;
  double sum_l = 0;
  for (const BlendWine& wine : wines) {
    if (absl::Status bad =
            CheckRange(absl::StrCat("volume of ", wine.name), wine.available_l, 0, 1e6, "L");
        !bad.ok()) {
      return bad;
    }
    volumes_l.push_back(wine.available_l);
    sum_l += wine.available_l;
  }
  if (!(sum_l > 0)) return absl::InvalidArgumentError("a blend of nothing has no values");
  Answer answer;
  answer.Add("volume", sum_l, 2, "L");
  if (absl::Status bad = AddValues(wines, volumes_l, goals, answer); !bad.ok()) return bad;
  MindBlend(answer);
  return answer;
}

absl::StatusOr<Answer> AnswerBlend(const BlendAsked& asked) {
  const absl::StatusOr<BlendFound> found = SolveBlend(asked);
  if (!found.ok()) return found.status();
  return AnswerBlend(asked, *found);
}

absl::StatusOr<Answer> AnswerBlend(const BlendAsked& asked, const BlendFound& found) {
  Answer answer;
  for (size_t i = 0; i < asked.wines.size(); ++i) {
    if (found.volumes_l[i] < kTraceL) continue;
    answer.Add(absl::StrCat("of ", asked.wines[i].name), found.volumes_l[i], 2, "L");
  }
  if (absl::Status bad = AddValues(asked.wines, found.volumes_l, asked.goals, answer); !bad.ok()) {
    return bad;
  }
  if (found.cost > 0) answer.Add("cost", found.cost, 2, "");
  answer.Rest(kBlendSolver);
  answer.Assume(asked.aim == BlendAim::kLeastCost
                    ? "the cheapest of the blends that fulfil all targets and bounds"
                    : "the closest to the targets of the blends that fulfil all bounds; misses are "
                      "added up in units of each goal's scale");
  MindBlend(answer);
  return answer;
}

namespace {

// What is likely to ferment still; true if that is the wine to be topped itself.
bool WarnOfFermenting(const ToppingWine& wine, const std::vector<ToppingWine>& candidates,
                      Answer& answer) {
  for (const ToppingWine& candidate : candidates) {
    if (candidate.volume_l <= 0 || !LikelyFermenting(candidate)) continue;
    answer.Warn(absl::StrCat(candidate.name, " stands at ", Print(*candidate.gravity, 4),
                             " and is likely to ferment still: not to top with"));
  }
  if (!LikelyFermenting(wine)) return false;
  answer.Warn(absl::StrCat(
      wine.name, " stands at ", Print(*wine.gravity, 4),
      " and is likely to ferment still: do not fill it to the brim, leave headspace for the foam "
      "under an airlock, and top it when it is at rest"));
  answer.Mind(Caution::kPressure);
  answer.Mind(Caution::kCarbonDioxide);
  return true;
}

}  // namespace

absl::StatusOr<Answer> AnswerTopping(double capacity_l, const ToppingWine& wine,
                                     const std::vector<ToppingWine>& candidates) {
  const absl::StatusOr<double> missing_l = UllageL(capacity_l, wine.volume_l);
  if (!missing_l.ok()) return missing_l.status();
  Answer answer;
  answer.Step(absl::StrCat(Print(capacity_l, 2), " L - ", Print(wine.volume_l, 2),
                           " L = ", Print(*missing_l, 2), " L"));
  const bool fermenting = WarnOfFermenting(wine, candidates, answer);
  answer.Add(fermenting ? "headspace, to be left" : "missing to the brim", *missing_l, 2, "L");
  answer.Rest(kUllage);
  answer.Assume("capacity and volume are at the same temperature");
  if (*missing_l == 0) {
    answer.Warn("the vessel is full: wine that warms may push the stopper out");
    return answer;
  }
  if (fermenting) return answer;
  if (!wine.gravity.has_value()) {
    answer.Warn(absl::StrCat("the density of ", wine.name,
                             " is not known: if it may still ferment, leave headspace"));
  }
  const std::vector<ToppingChoice> choices = RankTopping(wine, *missing_l, candidates);
  for (size_t i = 0; i < choices.size() && i < 5; ++i) {
    const ToppingChoice& choice = choices[i];
    answer.Add(
        absl::StrCat("from ", choice.name,
                     choice.difference.empty() ? "" : absl::StrCat(" (", choice.difference, ")"),
                     choice.enough ? "" : ", which has no more"),
        choice.take_l, 2, "L");
  }
  for (const ToppingWine& candidate : candidates) {
    if (candidate.volume_l > 0 && !candidate.gravity.has_value()) {
      answer.Warn(
          absl::StrCat("the density of ", candidate.name, " is not known: it may still ferment"));
    }
  }
  if (choices.empty()) {
    answer.Warn("no wine to top with was found: take a smaller vessel, or sound wine of its like");
  }
  if (wine.colour.empty() || wine.lot.empty()) {
    answer.Warn("lot or colour of the wine is not known: the order is worth little");
  }
  answer.Rest(kToppingChoice);
  answer.Warn("only with sound, stable wine: taste both first");
  if (wine.sugar_g_l.value_or(0) > 2) answer.Mind(Caution::kPressure);
  return answer;
}

}  // namespace rundlet::oenology
