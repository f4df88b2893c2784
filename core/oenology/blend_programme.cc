#include "core/oenology/blend_programme.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/answer.h"

namespace rundlet::oenology::internal {

using Kind = BlendBound::Kind;

std::vector<BlendBound> BoundsOf(const BlendAsked& asked) {
  std::vector<BlendBound> bounds;
  for (int i = 0; i < static_cast<int>(asked.goals.size()); ++i) {
    const BlendGoal& goal = asked.goals[i];
    if (goal.low) bounds.push_back({Kind::kLow, i});
    if (goal.high) bounds.push_back({Kind::kHigh, i});
    if (goal.target && asked.aim == BlendAim::kLeastCost) bounds.push_back({Kind::kTarget, i});
  }
  for (int i = 0; i < static_cast<int>(asked.wines.size()); ++i) {
    if (asked.wines[i].available_l < asked.volume_l) bounds.push_back({Kind::kAvailable, i});
    if (asked.wines[i].least_l > 0) bounds.push_back({Kind::kLeast, i});
  }
  return bounds;
}

std::string BoundText(const BlendAsked& asked, const BlendBound& bound) {
  if (bound.kind == Kind::kAvailable || bound.kind == Kind::kLeast) {
    const BlendWine& wine = asked.wines[bound.index];
    const bool most = bound.kind == Kind::kAvailable;
    return absl::StrCat(most ? "at most " : "at least ",
                        Print(most ? wine.available_l : wine.least_l, 2), " L of ", wine.name);
  }
  const BlendGoal& goal = asked.goals[bound.index];
  const auto with = [&](absl::string_view word, double value) {
    return absl::StrCat(goal.name, " ", word, " ",
                        PrintFigure({"", value, goal.decimals, goal.unit}));
  };
  if (bound.kind == Kind::kLow) return with("at least", goal.low.value_or(0));
  if (bound.kind == Kind::kHigh) return with("at most", goal.high.value_or(0));
  return with("exactly", goal.target.value_or(0));
}

int MissColumn(const BlendAsked& asked, int goal) {
  const auto before = std::count_if(asked.goals.begin(), asked.goals.begin() + goal,
                                    [](const BlendGoal& one) { return one.target.has_value(); });
  return static_cast<int>(asked.wines.size() + 2 * before);
}

Lp BlendLp(const BlendAsked& asked, const std::vector<BlendBound>& bounds) {
  const int wines = static_cast<int>(asked.wines.size());
  const int goals = static_cast<int>(asked.goals.size());
  Lp lp;
  lp.columns.assign(MissColumn(asked, goals), LpColumn{});
  LpRow whole{.low = 1, .high = 1};
  for (int i = 0; i < wines; ++i) {
    lp.columns[i].high = 1;
    whole.terms.push_back({i, 1});
  }
  lp.rows.push_back(std::move(whole));

  // A goal's row is in units of its scale. Where it has a target, the misses make it up to that.
  std::vector<LpRow> ranges(goals);
  std::vector<LpRow> targets;
  for (int g = 0; g < goals; ++g) {
    const BlendGoal& goal = asked.goals[g];
    for (int i = 0; i < wines; ++i) {
      ranges[g].terms.push_back({i, asked.wines[i].values[g].value_or(0) / goal.scale});
    }
    if (!goal.target) continue;
    LpRow target = ranges[g];
    target.terms.push_back({MissColumn(asked, g), 1});
    target.terms.push_back({MissColumn(asked, g) + 1, -1});
    target.low = target.high = *goal.target / goal.scale;
    targets.push_back(std::move(target));
  }
  for (const BlendBound& bound : bounds) {
    switch (bound.kind) {
      case Kind::kAvailable:
        lp.columns[bound.index].high =
            std::min(1.0, asked.wines[bound.index].available_l / asked.volume_l);
        break;
      case Kind::kLeast:
        lp.columns[bound.index].low = asked.wines[bound.index].least_l / asked.volume_l;
        break;
      case Kind::kLow:
        ranges[bound.index].low = *asked.goals[bound.index].low / asked.goals[bound.index].scale;
        break;
      case Kind::kHigh:
        ranges[bound.index].high = *asked.goals[bound.index].high / asked.goals[bound.index].scale;
        break;
      case Kind::kTarget:
        lp.columns[MissColumn(asked, bound.index)].high = 0;
        lp.columns[MissColumn(asked, bound.index) + 1].high = 0;
        break;
    }
  }
  for (LpRow& row : ranges) {
    if (row.low != -kNoBound || row.high != kNoBound) lp.rows.push_back(std::move(row));
  }
  lp.rows.insert(lp.rows.end(), targets.begin(), targets.end());
  return lp;
}

}  // namespace rundlet::oenology::internal
