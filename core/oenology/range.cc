#include "core/oenology/range.h"

#include <cmath>
#include <string>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"

namespace rundlet::oenology {
namespace {

std::string Plain(double value) { return absl::StrFormat("%.6g", value); }

// What may have been meant, as it would be written; empty: no idea.
std::string GuessAt(double value, double low, double high, bool percent, Guess guess) {
  std::vector<double> shifts = {0.1, 0.01, 0.001, 10.0, 100.0, 1000.0};
  if (percent && std::fabs(value) < 1) shifts.insert(shifts.begin(), 100.0);
  for (const double shift : shifts) {
    if (guess == Guess::kSmaller && shift > 1) continue;
    const double meant = value * shift;
    if (low <= meant && meant <= high && Plain(meant) != Plain(value)) return Plain(meant);
  }
  return "";
}

}  // namespace

absl::Status CheckRange(absl::string_view name, double value, double low, double high,
                        absl::string_view unit, Guess guess) {
  if (!std::isfinite(value)) {
    return absl::InvalidArgumentError(absl::StrCat(name, " is not a number: write one from ",
                                                   Plain(low), " to ", Plain(high), " ", unit));
  }
  if (low <= value && value <= high) return absl::OkStatus();
  std::string message =
      absl::StrCat(name, " ", Plain(value), unit.empty() ? "" : " ", unit, " is outside ",
                   Plain(low), " to ", Plain(high), unit.empty() ? "" : " ", unit);
  const std::string meant = GuessAt(value, low, high, absl::StartsWith(unit, "%"), guess);
  if (!meant.empty()) absl::StrAppend(&message, ": was ", meant, " meant?");
  return absl::OutOfRangeError(message);
}

absl::Status CheckShare(absl::string_view name, double share, double low, double high) {
  // By the share itself, so that no rounding of the hundredfold refuses an end of the range.
  if (low <= share && share <= high) return absl::OkStatus();
  return CheckRange(name, share * 100, low * 100, high * 100, "%");
}

absl::Status FirstError(std::initializer_list<absl::Status> all) {
  for (const absl::Status& one : all) {
    if (!one.ok()) return one;
  }
  return absl::OkStatus();
}

}  // namespace rundlet::oenology
