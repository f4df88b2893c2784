#ifndef RUNDLET_TESTS_LOAD_CROWD_H_
#define RUNDLET_TESTS_LOAD_CROWD_H_

#include <deque>
#include <functional>

#include "absl/status/status.h"
#include "absl/time/time.h"
#include "tests/load/load_world.h"

namespace rundlet::load {

// So many new devices of a cellar, each of which has handed in its first entries.
absl::StatusOr<std::deque<LoadDevice>> NewDevices(LoadWorld& world, const Uuid& cellar_id,
                                                  const std::string& name, int count);

// What a device does over and over; `round` counts from 0.
using Work = std::function<absl::Status(LoadDevice&, int round, CallTimes&)>;

// Lets all devices work at once, each in a thread of its own, for a time. Returns what they
// measured together, or the first error of any.
absl::StatusOr<CallTimes> WorkTogether(std::deque<LoadDevice>& devices, absl::Duration time,
                                       const Work& work);

// Three pushes of one to three entries, then a page, and now and then a board or a trace.
absl::Status MixedWork(LoadDevice& device, int round, CallTimes& times);

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_CROWD_H_
