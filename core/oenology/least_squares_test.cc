// Goal: damped Gauss-Newton finds the least sum of squares and the right spread. Method: a straight
// line, whose answer and covariance are known in closed form, and a bent valley.
#include "core/oenology/least_squares.h"

#include <gtest/gtest.h>

#include <cmath>

namespace rundlet::oenology {
namespace {

void NoBound(Parameters<2>& /*at*/) {}

TEST(LeastSquaresTest, ALineHasTheKnownFitAndSpread) {
  const double x[] = {0, 1, 2, 3};
  const double y[] = {1.1, 2.9, 5.1, 6.9};
  const auto line = [&](const Parameters<2>& at) {
    NormalEquations<2> sum;
    for (int i = 0; i < 4; ++i) sum.Add(at[0] + at[1] * x[i] - y[i], {1, x[i]});
    return sum;
  };
  const LeastSquares<2> fit = FitLeastSquares<2>({0, 0}, line, NoBound);
  ASSERT_TRUE(fit.settled);
  EXPECT_NEAR(fit.at[1], 1.96, 1e-5);
  EXPECT_NEAR(fit.at[0], 1.06, 1e-5);
  // (X^T X)^-1 with sums n = 4, x = 6, x^2 = 14: determinant 20.
  const auto& l = fit.spread;
  EXPECT_NEAR(l[0][0] * l[0][0], 14.0 / 20, 1e-9);
  EXPECT_NEAR(l[0][0] * l[1][0], -6.0 / 20, 1e-9);
  EXPECT_NEAR(l[1][0] * l[1][0] + l[1][1] * l[1][1], 4.0 / 20, 1e-9);
}

TEST(LeastSquaresTest, ABentValleyIsWalkedToItsEnd) {
  const auto valley = [](const Parameters<2>& at) {  // Rosenbrock's
    NormalEquations<2> sum;
    sum.Add(10 * (at[1] - at[0] * at[0]), {-20 * at[0], 10});
    sum.Add(1 - at[0], {-1, 0});
    return sum;
  };
  const LeastSquares<2> fit = FitLeastSquares<2>({-1.2, 1}, valley, NoBound);
  EXPECT_NEAR(fit.at[0], 1, 1e-3);
  EXPECT_NEAR(fit.at[1], 1, 1e-3);
}

TEST(LeastSquaresTest, WhatTheReadingsDoNotSayDoesNotSettle) {
  const auto blind = [](const Parameters<2>& at) {  // only the sum of both is seen
    NormalEquations<2> sum;
    sum.Add(at[0] + at[1] - 1, {1, 1});
    return sum;
  };
  EXPECT_FALSE(FitLeastSquares<2>({0, 0}, blind, NoBound).settled);
}

TEST(LeastSquaresTest, BoundsHold) {
  const auto pull = [](const Parameters<2>& at) {
    NormalEquations<2> sum;
    sum.Add(at[0] - 5, {1, 0});
    sum.Add(at[1] - 5, {0, 1});
    return sum;
  };
  const LeastSquares<2> fit =
      FitLeastSquares<2>({0, 0}, pull, [](Parameters<2>& at) { at[0] = std::fmin(at[0], 1); });
  EXPECT_NEAR(fit.at[0], 1, 1e-9);
  EXPECT_NEAR(fit.at[1], 5, 1e-3);
}

}  // namespace
}  // namespace rundlet::oenology
