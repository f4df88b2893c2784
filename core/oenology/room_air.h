#ifndef RUNDLET_CORE_OENOLOGY_ROOM_AIR_H_
#define RUNDLET_CORE_OENOLOGY_ROOM_AIR_H_

#include <optional>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// The fresh air that keeps carbon dioxide in a room under a limit, if air and gas mix. They do not
// mix well: the gas is heavy and lies along the floor. So these figures are the least, never a
// clearance to enter: a meter is that.
extern const Equation kRoomAir;
extern const Equation kRoomTime;
extern const Equation kRoomChanges;

// A limit for people at work, with the word of whoever set it.
struct ExposureLimit {
  absl::string_view place;   // "US"
  absl::string_view basis;   // "8 h mean"
  double ppm = 0;            // by volume
  absl::string_view source;  // "29 CFR 1910.1000, table Z-1"
  Standing standing;
};
absl::Span<const ExposureLimit> CarbonDioxideLimits();
// The mean of a working day, the same in both places.
constexpr double kWorkingDayPpm = 5000;
// The lowest of the limits for 15 minutes: above it no room is reckoned.
double ShortTermPpm();

// What the air outside holds.
constexpr double kOutsidePpm = 420;

// Fresh air in m3/h for gas given off at `gas_m3_h` (0 to 1e5); limit 1000 ppm to
// ShortTermPpm(): a higher one is refused, with the limits that it passes, and never guessed at.
absl::StatusOr<double> FreshAirM3H(double gas_m3_h, double limit_ppm,
                                   double outside_ppm = kOutsidePpm);

// Hours until a room of `room_m3` that began with outside air stands at the limit; nothing if that
// much fresh air keeps it below for good.
absl::StatusOr<std::optional<double>> HoursToLimit(double room_m3, double gas_m3_h,
                                                   double fresh_air_m3_h, double limit_ppm,
                                                   double outside_ppm = kOutsidePpm);

// A rule of accident prevention for fermenting rooms below ground: the air changed four times an
// hour.
constexpr double kChangesBelowGroundPerH = 4;

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ROOM_AIR_H_
