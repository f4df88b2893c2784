#include "core/oenology/lp.h"

#include <coin/ClpSimplex.hpp>
#include <coin/CoinError.hpp>

#include "absl/strings/str_cat.h"

namespace rundlet::oenology {
namespace {

double Bound(double bound) {
  if (bound == kNoBound) return COIN_DBL_MAX;
  return bound == -kNoBound ? -COIN_DBL_MAX : bound;
}

void Fill(const Lp& lp, ClpSimplex& solver) {
  solver.setLogLevel(0);
  solver.resize(0, static_cast<int>(lp.columns.size()));
  for (int i = 0; i < static_cast<int>(lp.columns.size()); ++i) {
    solver.setColumnBounds(i, Bound(lp.columns[i].low), Bound(lp.columns[i].high));
    solver.setObjectiveCoefficient(i, lp.columns[i].cost);
  }
  for (const LpRow& row : lp.rows) {
    std::vector<int> places;
    std::vector<double> coefficients;
    for (const LpTerm& term : row.terms) {
      places.push_back(term.column);
      coefficients.push_back(term.coefficient);
    }
    solver.addRow(static_cast<int>(places.size()), places.data(), coefficients.data(),
                  Bound(row.low), Bound(row.high));
  }
}

}  // namespace

absl::StatusOr<std::optional<std::vector<double>>> SolveLp(const Lp& lp) {
  for (const LpColumn& column : lp.columns) {
    if (column.low > column.high) return std::optional<std::vector<double>>();
  }
  // Clp throws CoinError at what it holds to be misuse, and bad_alloc: neither goes further.
  try {
    ClpSimplex solver;
    Fill(lp, solver);
    solver.dual();
    if (solver.isProvenOptimal()) {
      const double* values = solver.primalColumnSolution();
      return std::make_optional(std::vector<double>(values, values + lp.columns.size()));
    }
    if (solver.isProvenPrimalInfeasible()) return std::optional<std::vector<double>>();
    return absl::InternalError(
        absl::StrCat("the solver found no answer (status ", solver.status(), ")"));
  } catch (const CoinError& error) {
    return absl::InternalError(absl::StrCat("the solver refused: ", error.message()));
  } catch (const std::exception& error) {
    return absl::InternalError(absl::StrCat("the solver failed: ", error.what()));
  }
}

}  // namespace rundlet::oenology
