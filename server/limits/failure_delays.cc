#include "server/limits/failure_delays.h"

#include <algorithm>
#include <cmath>

namespace rundlet::server {

absl::Duration FailureDelays::WaitOf(const std::string& address) const {
  absl::MutexLock lock(&mutex_);
  const Record* record = known_.Find(address);
  if (record == nullptr) return absl::ZeroDuration();
  return std::max(record->blocked_until - now_(), absl::ZeroDuration());
}

void FailureDelays::Failed(const std::string& address) {
  const absl::Time now = now_();
  absl::MutexLock lock(&mutex_);
  Record& record = known_.At(address, {.at = now});
  const double forgotten = std::max(0.0, absl::FDivDuration(now - record.at, options_.forget_one));
  // What is beyond the longest delay changes nothing, and is not held against the address.
  const double doublings =
      std::ceil(std::log2(absl::FDivDuration(options_.longest_delay, options_.first_delay)));
  const double most = options_.free + 1 + std::max(0.0, doublings);
  record.failures = std::min(std::max(0.0, record.failures - forgotten) + 1, most);
  record.at = now;
  const double beyond = record.failures - options_.free;
  if (beyond <= 0) return;
  record.blocked_until =
      now + std::min(options_.first_delay * std::exp2(beyond - 1), options_.longest_delay);
}

}  // namespace rundlet::server
