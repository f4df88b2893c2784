#ifndef RUNDLET_CLIENT_COMMANDS_GEAR_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_GEAR_WORDS_H_

#include <string>

#include "absl/status/statusor.h"
#include "client/cli/planner.h"
#include "client/cli/session.h"

namespace rundlet::client {

// What the commands about the care of gear and vessels have in common.

// Gear or a vessel by its name; NotFound says how to register it.
absl::StatusOr<Uuid> FindGearOrVessel(const Planner& planner, const std::string& name);

// "20C", "68F" as thousandths of a degree Celsius; InvalidArgument names the option.
absl::StatusOr<int32_t> ReadMillic(absl::string_view option, absl::string_view text);

// A time to come, or one that has passed, in the zone of this device; `now` is what times of day
// and days count from. InvalidArgument names the option.
absl::StatusOr<When> ReadAnyTime(absl::string_view option, absl::string_view text, const When& now,
                                 const absl::TimeZone& zone);

// An ISO 8601 date: "2028-01-31", or "2028-01" for the last day of that month. InvalidArgument
// names the option.
absl::StatusOr<std::string> ReadDay(absl::string_view option, absl::string_view text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_GEAR_WORDS_H_
