#ifndef RUNDLET_CORE_REPORTS_PERIOD_H_
#define RUNDLET_CORE_REPORTS_PERIOD_H_

#include <cstdint>

namespace rundlet::reports {

// From a moment on, and before another; whatever was said of neither is all time.
struct Period {
  int64_t from_us = INT64_MIN;
  int64_t before_us = INT64_MAX;

  bool Holds(int64_t at_us) const { return from_us <= at_us && at_us < before_us; }
};

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_PERIOD_H_
