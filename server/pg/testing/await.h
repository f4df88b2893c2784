#ifndef RUNDLET_SERVER_PG_TESTING_AWAIT_H_
#define RUNDLET_SERVER_PG_TESTING_AWAIT_H_

#include "absl/time/clock.h"
#include "absl/time/time.h"

namespace rundlet::server {

// Looks every few milliseconds whether `condition` holds. False if it does not within `patience`.
template <typename Condition>
bool Await(Condition&& condition, absl::Duration patience = absl::Seconds(30)) {
  const absl::Time deadline = absl::Now() + patience;
  while (!condition()) {
    if (absl::Now() >= deadline) return false;
    absl::SleepFor(absl::Milliseconds(5));
  }
  return true;
}

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_TESTING_AWAIT_H_
