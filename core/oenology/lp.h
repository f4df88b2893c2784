#ifndef RUNDLET_CORE_OENOLOGY_LP_H_
#define RUNDLET_CORE_OENOLOGY_LP_H_

#include <limits>
#include <optional>
#include <vector>

#include "absl/status/statusor.h"

// Linear programmes: the one place that knows which solver is used (Clp of COIN-OR).
namespace rundlet::oenology {

inline constexpr double kNoBound = std::numeric_limits<double>::infinity();

struct LpColumn {
  double low = 0;
  double high = kNoBound;
  double cost = 0;  // of one unit, to be made least
};

struct LpTerm {
  int column = 0;
  double coefficient = 0;
};

struct LpRow {
  std::vector<LpTerm> terms;  // each column once
  double low = -kNoBound;
  double high = kNoBound;
};

struct Lp {
  std::vector<LpColumn> columns;
  std::vector<LpRow> rows;
};

// The columns at the least cost; nothing if no values fulfil all rows and bounds. Bounds hold to
// 1e-7: state the problem in numbers near one. Internal if the solver gave up, or if the cost has
// no least.
absl::StatusOr<std::optional<std::vector<double>>> SolveLp(const Lp& lp);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_LP_H_
