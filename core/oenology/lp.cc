#include "core/oenology/lp.h"

#include <coin/ClpSimplex.hpp>
#include <coin/CoinError.hpp>
#include <cstdio>
#include <cstdlib>

#include "absl/strings/str_cat.h"

// LAPACK, in which the solver factorises, calls this when it is called wrongly, and leaves it to
// each program to bring its own. The one that comes with it prints by the Fortran run time, which a
// statically linked program then drags along and which crashes at its exit (glibc's weak mutex
// functions are missing there). Never called, unless the solver is broken.
extern "C" void xerbla_(const char* routine, const int* place, int length) {
  std::fprintf(stderr, "LAPACK: %.*s was called with a wrong argument %d\n", length, routine,
               *place);
  std::abort();
}

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
