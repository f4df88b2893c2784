#include "core/oenology/sorbate.h"

#include <algorithm>

#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kSorbateDose = {
    "sorbate-dose",
    "Potassium sorbate by alcohol and pH",
    "table, bilinear, mg/L of potassium sorbate: from 165 (10 % vol, pH 3.1) and 270 (10 %, 3.5) "
    "to 60 (14 %, 3.1) and 90 (14 %, 3.5)",
    "10 to 14 % vol, pH 3.1 to 3.5; the nearest value is taken outside",
    "a rule of clubs; another source lies within a tenth at pH 3.3, up to a third away at the ends",
    "Underhill, Making Better Wines, as a club's table gives it (mL of a 30 g/L solution)",
    Standing::kSecondHand};
const Equation kSorbicAcid = {"sorbic-acid",
                              "Sorbic acid in potassium sorbate",
                              "g of sorbic acid = 0.746 x g of potassium sorbate",
                              "dry, fresh sorbate; it ages within a year or two",
                              "none for fresh sorbate",
                              "molar masses, 112.13 / 150.22",
                              Standing::kDerived};

namespace {

// mL of a 30 g/L solution for a litre; rows 10 to 14 % vol, columns pH 3.1 to 3.5.
constexpr double kTableMl[5][5] = {{5.5, 6, 7, 8, 9},
                                   {4.5, 5, 6, 7, 7.5},
                                   {3.2, 3.5, 4, 4.5, 5},
                                   {2.6, 3, 3.2, 3.5, 4},
                                   {2, 2.2, 2.4, 2.7, 3}};
constexpr double kSolutionGL = 30;

}  // namespace

absl::StatusOr<SorbateDose> SorbateFor(double alcohol_pct, double ph) {
  if (absl::Status bad = FirstError(
          {CheckRange("alcohol", alcohol_pct, 0, 25, "% vol"), CheckRange("pH", ph, 2.5, 4.5, "")});
      !bad.ok()) {
    return bad;
  }
  const double a = std::clamp(alcohol_pct, 10.0, 14.0);
  const double p = std::clamp(ph, 3.1, 3.5);
  const int row = std::min(static_cast<int>(a - 10), 3);
  const int column = std::min(static_cast<int>((p - 3.1) / 0.1 + 1e-9), 3);
  const double y = a - 10 - row;
  const double x = (p - 3.1) / 0.1 - column;
  const auto along = [&](int r) {
    return kTableMl[r][column] * (1 - x) + kTableMl[r][column + 1] * x;
  };
  return SorbateDose{(along(row) * (1 - y) + along(row + 1) * y) * kSolutionGL,
                     a != alcohol_pct || p != ph};
}

absl::StatusOr<double> SorbicAcidByAlcohol(double alcohol_pct) {
  if (absl::Status bad = CheckRange("alcohol", alcohol_pct, 10, 14, "% vol"); !bad.ok()) {
    return bad;
  }
  return 150 - 25 * (alcohol_pct - 10);
}

}  // namespace rundlet::oenology
