// Which of the bounds of a blend exclude each other.
#include <string>
#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/oenology/answer.h"
#include "core/oenology/blend_programme.h"

namespace rundlet::oenology::internal {
namespace {

using Kind = BlendBound::Kind;

// How far a goal can be brought with the wines there are, all other goals left aside.
std::string Reach(const BlendAsked& asked, int goal) {
  std::vector<BlendBound> wines_only;
  for (const BlendBound& bound : BoundsOf(asked)) {
    if (bound.kind == Kind::kAvailable || bound.kind == Kind::kLeast) wines_only.push_back(bound);
  }
  Lp lp = BlendLp(asked, wines_only);
  std::vector<std::string> ends;
  for (const double sign : {1.0, -1.0}) {
    for (size_t i = 0; i < asked.wines.size(); ++i) {
      lp.columns[i].cost = sign * asked.wines[i].values[goal].value_or(0) / asked.goals[goal].scale;
    }
    const auto solved = SolveLp(lp);
    if (!solved.ok() || !solved->has_value()) return "";
    double value = 0;
    for (size_t i = 0; i < asked.wines.size(); ++i) {
      value += (**solved)[i] * asked.wines[i].values[goal].value_or(0);
    }
    ends.push_back(Print(value, asked.goals[goal].decimals));
  }
  return absl::StrCat(asked.goals[goal].name, " can be brought from ", ends[0], " to ", ends[1],
                      " ", asked.goals[goal].unit, " with these wines");
}

// Leaves out one bound after another: what can go without making the rest possible is not to blame.
// Goals go first, so that where the wine itself is not enough, that is what gets told.
absl::StatusOr<std::vector<BlendBound>> Conflict(const BlendAsked& asked) {
  std::vector<BlendBound> blamed = BoundsOf(asked);
  for (size_t i = 0; i < blamed.size();) {
    std::vector<BlendBound> without = blamed;
    without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
    const auto solved = SolveLp(BlendLp(asked, without));
    if (!solved.ok()) return solved.status();
    if (solved->has_value()) {
      ++i;
    } else {
      blamed = std::move(without);
    }
  }
  return blamed;
}

}  // namespace

absl::Status BlendInfeasible(const BlendAsked& asked) {
  const absl::StatusOr<std::vector<BlendBound>> blamed = Conflict(asked);
  if (!blamed.ok()) return blamed.status();
  std::vector<std::string> bounds;
  std::vector<std::string> reaches;
  for (const BlendBound& bound : *blamed) {
    bounds.push_back(BoundText(asked, bound));
    if (bound.kind == Kind::kAvailable || bound.kind == Kind::kLeast) continue;
    std::string reach = Reach(asked, bound.index);
    if (!reach.empty() && (reaches.empty() || reaches.back() != reach)) {
      reaches.push_back(std::move(reach));
    }
  }
  std::string text = absl::StrCat("no blend of ", Print(asked.volume_l, 2),
                                  " L fulfils all of this: ", absl::StrJoin(bounds, "; "));
  if (!reaches.empty()) absl::StrAppend(&text, ". ", absl::StrJoin(reaches, "; "));
  return absl::FailedPreconditionError(absl::StrCat(text, ". Loosen one of them."));
}

}  // namespace rundlet::oenology::internal
