#include "core/oenology/blend.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/blend_programme.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/lp.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kBlendMean = {
    "blend-mean",
    "A concentration of a blend",
    "c = sum(c_i V_i) / sum(V_i); alcohol also by mass, with the density of OIML R 22",
    "alcohol, acidity, sugar, total SO2; never pH, nor free or molecular SO2",
    "0.01 % vol of alcohol among wines, 0.3 with spirit; none else, before bitartrate falls out",
    "mass balance",
    Standing::kDerived};
const Equation kBlendSolver = {
    "blend-solver",
    "Volumes for a blend",
    "linear programme: shares of wines, least sum of misses of targets in units of their scales "
    "(then least cost), or least cost",
    "up to 200 wines and 20 goals",
    "that of the readings",
    "simplex method as in Clp of COIN-OR",
    Standing::kDerived};

namespace {

constexpr double kMostValue = 1e5;

absl::Status CheckGoal(const BlendGoal& goal) {
  absl::Status bad = CheckRange(absl::StrCat("scale of ", goal.name), goal.scale, 1e-3, 1e4, "");
  for (const std::optional<double>& value : {goal.target, goal.low, goal.high}) {
    if (value) bad.Update(CheckRange(goal.name, *value, 0, kMostValue, goal.unit));
  }
  if (!bad.ok()) return bad;
  if (!goal.target && !goal.low && !goal.high) {
    return absl::InvalidArgumentError(
        absl::StrCat("nothing is asked of ", goal.name, ": give a target or a bound"));
  }
  if (goal.low && goal.high && *goal.low > *goal.high) {
    return absl::InvalidArgumentError(absl::StrCat(goal.name, " at least ", *goal.low,
                                                   " and at most ", *goal.high,
                                                   " exclude each other: change one"));
  }
  return absl::OkStatus();
}

absl::Status CheckWine(const BlendAsked& asked, const BlendWine& wine) {
  if (absl::Status bad = FirstError(
          {CheckRange(absl::StrCat("volume of ", wine.name), wine.available_l, 0, 1e7, "L"),
           CheckRange(absl::StrCat("least of ", wine.name), wine.least_l, 0, 1e7, "L"),
           CheckRange(absl::StrCat("cost of ", wine.name), wine.cost_per_l, 0, 1e6, "")});
      !bad.ok()) {
    return bad;
  }
  if (wine.least_l > wine.available_l) {
    return absl::InvalidArgumentError(absl::StrCat("of ", wine.name, " ", wine.least_l,
                                                   " L are wanted and ", wine.available_l,
                                                   " L are there"));
  }
  if (wine.values.size() != asked.goals.size()) {
    return absl::InvalidArgumentError(absl::StrCat(wine.name, " has ", wine.values.size(),
                                                   " readings for ", asked.goals.size(), " goals"));
  }
  for (size_t g = 0; g < asked.goals.size(); ++g) {
    const BlendGoal& goal = asked.goals[g];
    if (!wine.values[g]) {
      return absl::InvalidArgumentError(
          absl::StrCat(wine.name, " has no reading of ", goal.name, ": take one"));
    }
    if (absl::Status bad = CheckRange(absl::StrCat(goal.name, " of ", wine.name), *wine.values[g],
                                      0, kMostValue, goal.unit);
        !bad.ok()) {
      return bad;
    }
  }
  return absl::OkStatus();
}

absl::Status Check(const BlendAsked& asked) {
  if (absl::Status bad =
          FirstError({CheckRange("volume of the blend", asked.volume_l, 0.01, 1e6, "L"),
                      CheckRange("number of wines", asked.wines.size(), 1, 200, ""),
                      CheckRange("number of goals", asked.goals.size(), 0, 20, "")});
      !bad.ok()) {
    return bad;
  }
  for (const BlendGoal& goal : asked.goals) {
    if (absl::Status bad = CheckGoal(goal); !bad.ok()) return bad;
  }
  for (const BlendWine& wine : asked.wines) {
    if (absl::Status bad = CheckWine(asked, wine); !bad.ok()) return bad;
  }
  return absl::OkStatus();
}

void CostOfWines(const BlendAsked& asked, Lp& lp) {
  double most = 0;
  for (const BlendWine& wine : asked.wines) most = std::max(most, wine.cost_per_l);
  for (LpColumn& column : lp.columns) column.cost = 0;
  for (size_t i = 0; i < asked.wines.size() && most > 0; ++i) {
    lp.columns[i].cost = asked.wines[i].cost_per_l / most;
  }
}

// Misses first, then the cost among what misses no more.
absl::StatusOr<std::optional<std::vector<double>>> SolveClosest(const BlendAsked& asked, Lp lp) {
  LpRow misses;
  for (int i = static_cast<int>(asked.wines.size()); i < static_cast<int>(lp.columns.size()); ++i) {
    lp.columns[i].cost = 1;
    misses.terms.push_back({i, 1});
  }
  auto closest = SolveLp(lp);
  const bool priced = std::any_of(asked.wines.begin(), asked.wines.end(),
                                  [](const BlendWine& wine) { return wine.cost_per_l > 0; });
  if (!closest.ok() || !closest->has_value() || !priced) return closest;
  misses.high = 0;
  for (const LpTerm& term : misses.terms) misses.high += std::max(0.0, (**closest)[term.column]);
  misses.high += 1e-7;
  if (!misses.terms.empty()) lp.rows.push_back(std::move(misses));
  CostOfWines(asked, lp);
  auto cheapest = SolveLp(lp);
  return cheapest.ok() && cheapest->has_value() ? cheapest : closest;
}

BlendFound Found(const BlendAsked& asked, const std::vector<double>& columns) {
  BlendFound found;
  found.values.assign(asked.goals.size(), 0);
  for (size_t i = 0; i < asked.wines.size(); ++i) {
    // The solver's own slack must not look like wine.
    const double share = columns[i] < 1e-7 ? 0 : std::min(columns[i], 1.0);
    found.volumes_l.push_back(share * asked.volume_l);
    found.cost += found.volumes_l.back() * asked.wines[i].cost_per_l;
    for (size_t g = 0; g < asked.goals.size(); ++g) {
      found.values[g] += share * asked.wines[i].values[g].value_or(0);
    }
  }
  for (size_t g = 0; g < asked.goals.size(); ++g) {
    if (!asked.goals[g].target) continue;
    found.miss += std::fabs(found.values[g] - *asked.goals[g].target) / asked.goals[g].scale;
  }
  return found;
}

}  // namespace

absl::StatusOr<double> BlendMean(absl::Span<const double> volumes_l,
                                 absl::Span<const double> values) {
  if (volumes_l.size() != values.size()) {
    return absl::InvalidArgumentError("each wine needs a volume and a value");
  }
  double sum = 0;
  double volume_l = 0;
  for (size_t i = 0; i < values.size(); ++i) {
    if (absl::Status bad =
            FirstError({CheckRange("volume", volumes_l[i], 0, 1e7, "L"),
                        CheckRange("value", values[i], -kMostValue, kMostValue, "")});
        !bad.ok()) {
      return bad;
    }
    sum += volumes_l[i] * values[i];
    volume_l += volumes_l[i];
  }
  if (!(volume_l > 1e-9)) return absl::InvalidArgumentError("a blend of nothing has no values");
  return sum / volume_l;
}

absl::StatusOr<BlendAlcohol> BlendAlcoholByMass(absl::Span<const double> volumes_l,
                                                absl::Span<const double> alcohol_pct) {
  if (absl::Status bad = BlendMean(volumes_l, alcohol_pct).status(); !bad.ok()) return bad;
  double mass_kg = 0;
  double ethanol_kg = 0;
  for (size_t i = 0; i < volumes_l.size(); ++i) {
    const absl::StatusOr<double> fraction = MassFractionFromAlcohol(alcohol_pct[i]);
    if (!fraction.ok()) return fraction.status();
    const double kg = volumes_l[i] * internal::EthanolDensity(*fraction, 20) / 1000;
    mass_kg += kg;
    ethanol_kg += kg * *fraction;
  }
  const double fraction = std::min(1.0, ethanol_kg / mass_kg);
  const absl::StatusOr<double> strength = AlcoholFromMassFraction(fraction);
  if (!strength.ok()) return strength.status();
  return BlendAlcohol{*strength, mass_kg / internal::EthanolDensity(fraction, 20) * 1000};
}

absl::StatusOr<BlendFound> SolveBlend(const BlendAsked& asked) {
  if (absl::Status bad = Check(asked); !bad.ok()) return bad;
  Lp lp = internal::BlendLp(asked, internal::BoundsOf(asked));
  if (asked.aim == BlendAim::kLeastCost) CostOfWines(asked, lp);
  const auto solved =
      asked.aim == BlendAim::kLeastCost ? SolveLp(lp) : SolveClosest(asked, std::move(lp));
  if (!solved.ok()) return solved.status();
  if (!solved->has_value()) return internal::BlendInfeasible(asked);
  return Found(asked, **solved);
}

}  // namespace rundlet::oenology
