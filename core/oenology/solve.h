#ifndef RUNDLET_CORE_OENOLOGY_SOLVE_H_
#define RUNDLET_CORE_OENOLOGY_SOLVE_H_

#include <cmath>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/string_view.h"

namespace rundlet::oenology {

// The x in [low, high] at which `function` takes the value `target`, by bisection until the doubles
// run out: at most 100 calls, and nothing to tune. `function` is double(double), continuous, and
// rises or falls all the way (not checked: of several solutions it finds one). OutOfRange, naming
// `what` and both ends, if the target does not lie between the values at the ends; Internal if the
// function gave what is no number.
template <typename Function>
absl::StatusOr<double> Solve(absl::string_view what, const Function& function, double target,
                             double low, double high) {
  const double at_low = function(low) - target;
  const double at_high = function(high) - target;
  if (!std::isfinite(at_low) || !std::isfinite(at_high)) {
    return absl::InternalError(absl::StrCat(what, ": the relation gave no number"));
  }
  if (at_low == 0) return low;
  if (at_high == 0) return high;
  if ((at_low < 0) == (at_high < 0)) {
    return absl::OutOfRangeError(absl::StrCat(what, ": no solution from ", low, " to ", high));
  }
  for (int i = 0; i < 100; ++i) {
    const double middle = low + (high - low) / 2;
    if (middle == low || middle == high) break;
    const double there = function(middle) - target;
    if (!std::isfinite(there)) {
      return absl::InternalError(absl::StrCat(what, ": the relation gave no number"));
    }
    if (there == 0) return middle;
    ((there < 0) == (at_low < 0) ? low : high) = middle;
  }
  return low + (high - low) / 2;
}

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_SOLVE_H_
