#include "core/oenology/range.h"

#include <cmath>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"

namespace rundlet::oenology {
namespace {

std::string Plain(double value) { return absl::StrFormat("%.6g", value); }

}  // namespace

absl::Status CheckRange(absl::string_view name, double value, double low, double high,
                        absl::string_view unit) {
  if (!std::isfinite(value)) {
    return absl::InvalidArgumentError(absl::StrCat(name, " is not a number: write one from ",
                                                   Plain(low), " to ", Plain(high), " ", unit));
  }
  if (low <= value && value <= high) return absl::OkStatus();
  std::string message =
      absl::StrCat(name, " ", Plain(value), unit.empty() ? "" : " ", unit, " is outside ",
                   Plain(low), " to ", Plain(high), unit.empty() ? "" : " ", unit);
  for (const double shift : {0.1, 0.01, 0.001, 10.0, 100.0, 1000.0}) {
    if (low <= value * shift && value * shift <= high) {
      absl::StrAppend(&message, ": was ", Plain(value * shift), " meant?");
      break;
    }
  }
  return absl::OutOfRangeError(message);
}

absl::Status FirstError(std::initializer_list<absl::Status> all) {
  for (const absl::Status& one : all) {
    if (!one.ok()) return one;
  }
  return absl::OkStatus();
}

}  // namespace rundlet::oenology
