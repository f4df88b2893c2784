#include "core/oenology/room_air.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "absl/strings/str_cat.h"
#include "core/oenology/answer.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr absl::string_view kWorkingDay = "8 h mean";
constexpr absl::string_view kShortTerm = "15 min";

constexpr ExposureLimit kLimits[] = {
    {"US", kWorkingDay, kWorkingDayPpm, "29 CFR 1910.1000 table Z-1, and NIOSH", Standing::kRead},
    {"US", kShortTerm, 30000, "NIOSH", Standing::kRead},
    {"US", "dangerous to life at once", 40000, "NIOSH 1994", Standing::kRead},
    {"UK", kWorkingDay, kWorkingDayPpm, "EH40/2005", Standing::kMemory},
    {"UK", kShortTerm, 15000, "EH40/2005", Standing::kMemory},
};

// A room must never be planned for air that is not fit to breathe even for minutes.
absl::Status CheckLimit(double limit_ppm) {
  if (!(limit_ppm > ShortTermPpm()) || !std::isfinite(limit_ppm)) {
    return CheckRange("limit", limit_ppm, 1000, ShortTermPpm(), "ppm", Guess::kSmaller);
  }
  std::string message =
      absl::StrCat("limit ", Print(limit_ppm, 0),
                   " ppm of carbon dioxide is above what people may breathe even for minutes: ");
  const char* between = "";
  for (const ExposureLimit& limit : kLimits) {
    if (limit.basis == kWorkingDay || limit.ppm >= limit_ppm) continue;
    absl::StrAppend(&message, between, Print(limit.ppm, 0), " ppm (", limit.place, ", ",
                    limit.basis, ", ", limit.source, ")");
    between = ", ";
  }
  return absl::OutOfRangeError(
      absl::StrCat(message, "; for a working day it is ", Print(kWorkingDayPpm, 0), " ppm"));
}

absl::Status Check(double gas_m3_h, double limit_ppm, double outside_ppm) {
  return FirstError({CheckRange("gas given off", gas_m3_h, 0, 1e5, "m3/h"), CheckLimit(limit_ppm),
                     CheckRange("carbon dioxide outside", outside_ppm, 300, 900, "ppm")});
}

}  // namespace

constexpr Equation kRoomAir = {
    "room-air",
    "Fresh air that holds a gas at a limit",
    "Q = G (1 - c) / (c - c0), m3/h; G gas given off, c limit, c0 outside, volume shares",
    "mixed air, steady release, limits 1000 to 15,000 ppm, the lowest of those for 15 minutes",
    "none can be stated: the gas does not mix well and gathers low",
    "balance of volumes; 420 ppm outside from memory",
    Standing::kDerived};

constexpr Equation kRoomTime = {
    "room-time",
    "Time until a room stands at a limit",
    "t = -V / (G + Q) ln((e - c) / (e - c0)), h; e = (G + Q c0) / (G + Q)",
    "mixed air, steady release",
    "none can be stated: the gas does not mix well and gathers low",
    "balance of volumes",
    Standing::kDerived};

constexpr Equation kRoomChanges = {
    "room-changes",
    "Changes of air for a fermenting room below ground",
    "Q = 4 V per hour",
    "fermenting rooms below ground",
    "a rule, not a measurement",
    "German accident prevention rule VSG 2.4, quoted on a page of a maker of fans",
    Standing::kSecondHand};

absl::Span<const ExposureLimit> CarbonDioxideLimits() { return kLimits; }

double ShortTermPpm() {
  double least = std::numeric_limits<double>::infinity();
  for (const ExposureLimit& limit : kLimits) {
    if (limit.basis == kShortTerm) least = std::min(least, limit.ppm);
  }
  return least;
}

absl::StatusOr<double> FreshAirM3H(double gas_m3_h, double limit_ppm, double outside_ppm) {
  if (absl::Status s = Check(gas_m3_h, limit_ppm, outside_ppm); !s.ok()) return s;
  return gas_m3_h * (1 - limit_ppm / 1e6) / ((limit_ppm - outside_ppm) / 1e6);
}

absl::StatusOr<std::optional<double>> HoursToLimit(double room_m3, double gas_m3_h,
                                                   double fresh_air_m3_h, double limit_ppm,
                                                   double outside_ppm) {
  if (absl::Status s = FirstError({Check(gas_m3_h, limit_ppm, outside_ppm),
                                   CheckRange("room", room_m3, 1, 1e6, "m3"),
                                   CheckRange("fresh air", fresh_air_m3_h, 0, 1e7, "m3/h")});
      !s.ok()) {
    return s;
  }
  if (gas_m3_h == 0) return std::optional<double>();
  const double flow = gas_m3_h + fresh_air_m3_h;
  const double outside = outside_ppm / 1e6;
  const double limit = limit_ppm / 1e6;
  const double end = (gas_m3_h + fresh_air_m3_h * outside) / flow;
  if (end <= limit) return std::optional<double>();
  const double hours = -room_m3 / flow * std::log((end - limit) / (end - outside));
  // A trickle that would need a century: walls leak more.
  if (!(hours < 1e6)) return std::optional<double>();
  return std::optional<double>(hours);
}

}  // namespace rundlet::oenology
