#ifndef RUNDLET_CORE_OENOLOGY_LEAST_SQUARES_H_
#define RUNDLET_CORE_OENOLOGY_LEAST_SQUARES_H_

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

namespace rundlet::oenology {

template <size_t kCount>
using Parameters = std::array<double, kCount>;
template <size_t kCount>
using Matrix = std::array<std::array<double, kCount>, kCount>;

// The sum of squares of weighted residuals, with what Gauss and Newton need of it.
template <size_t kCount>
struct NormalEquations {
  double cost = 0;             // sum of r^2
  Matrix<kCount> hessian{};    // sum of dr/dp_i dr/dp_j
  Parameters<kCount> slope{};  // sum of r dr/dp_i

  void Add(double residual, const Parameters<kCount>& gradient) {
    cost += residual * residual;
    for (size_t i = 0; i < kCount; ++i) {
      slope[i] += residual * gradient[i];
      for (size_t j = 0; j < kCount; ++j) hessian[i][j] += gradient[i] * gradient[j];
    }
  }
};

template <size_t kCount>
struct LeastSquares {
  Parameters<kCount> at{};
  double cost = std::numeric_limits<double>::infinity();
  // Lower triangle L with L L^T = the covariance of the parameters where residuals have weight 1.
  Matrix<kCount> spread{};
  bool settled = false;
};

namespace internal {

// L with L L^T = a, or false if `a` is not positive definite.
template <size_t kCount>
bool Cholesky(const Matrix<kCount>& a, Matrix<kCount>* lower) {
  *lower = {};
  for (size_t i = 0; i < kCount; ++i) {
    for (size_t j = 0; j <= i; ++j) {
      double sum = a[i][j];
      for (size_t k = 0; k < j; ++k) sum -= (*lower)[i][k] * (*lower)[j][k];
      if (i == j) {
        if (!(sum > 0)) return false;
        (*lower)[i][i] = std::sqrt(sum);
      } else {
        (*lower)[i][j] = sum / (*lower)[j][j];
      }
    }
  }
  return true;
}

// x with L L^T x = b.
template <size_t kCount>
Parameters<kCount> Substitute(const Matrix<kCount>& lower, Parameters<kCount> b) {
  for (size_t i = 0; i < kCount; ++i) {
    for (size_t k = 0; k < i; ++k) b[i] -= lower[i][k] * b[k];
    b[i] /= lower[i][i];
  }
  for (size_t i = kCount; i-- > 0;) {
    for (size_t k = i + 1; k < kCount; ++k) b[i] -= lower[k][i] * b[k];
    b[i] /= lower[i][i];
  }
  return b;
}

}  // namespace internal

// Damped Gauss-Newton (Levenberg and Marquardt) from `start`. `equations(parameters)` gives the
// NormalEquations there; `bound(parameters)` moves parameters into the range allowed. Not settled
// after 200 steps, or where the equations are singular: then `settled` is false.
template <size_t kCount, typename Equations, typename Bound>
LeastSquares<kCount> FitLeastSquares(const Parameters<kCount>& start, const Equations& equations,
                                     const Bound& bound) {
  LeastSquares<kCount> fit{.at = start};
  bound(fit.at);
  NormalEquations<kCount> here = equations(fit.at);
  fit.cost = here.cost;
  double damping = 1e-3;
  for (int step = 0; step < 200 && std::isfinite(fit.cost) && damping < 1e12; ++step) {
    Matrix<kCount> damped = here.hessian;
    for (size_t i = 0; i < kCount; ++i) damped[i][i] += damping * here.hessian[i][i];
    Matrix<kCount> lower;
    if (!internal::Cholesky(damped, &lower)) break;
    const Parameters<kCount> move = internal::Substitute(lower, here.slope);
    Parameters<kCount> next = fit.at;
    for (size_t i = 0; i < kCount; ++i) next[i] -= move[i];
    bound(next);
    NormalEquations<kCount> there = equations(next);
    if (!(there.cost <= fit.cost)) {
      damping *= 4;
      continue;
    }
    fit.settled = fit.cost - there.cost <= 1e-9 * (1 + fit.cost);
    fit.at = next;
    fit.cost = there.cost;
    here = std::move(there);
    damping = std::max(damping / 4, 1e-12);
    if (fit.settled) break;
  }
  fit.settled = fit.settled || (std::isfinite(fit.cost) && damping >= 1e12);  // no way down is left
  Matrix<kCount> lower;
  if (!internal::Cholesky(here.hessian, &lower)) {
    fit.settled = false;
    return fit;
  }
  Matrix<kCount> covariance;
  for (size_t i = 0; i < kCount; ++i) {
    Parameters<kCount> unit{};
    unit[i] = 1;
    covariance[i] = internal::Substitute(lower, unit);
  }
  if (!internal::Cholesky(covariance, &fit.spread)) fit.settled = false;
  return fit;
}

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_LEAST_SQUARES_H_
