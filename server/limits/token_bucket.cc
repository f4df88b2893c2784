#include "server/limits/token_bucket.h"

#include <algorithm>

namespace rundlet::server {

absl::Duration TokenBucket::Take(double amount, const Rate& rate, absl::Time now) {
  if (now > at_) {
    left_ = std::min(rate.burst, left_ + absl::ToDoubleSeconds(now - at_) * rate.per_second);
    at_ = now;
  }
  const double needed = std::min(amount, rate.burst);
  if (left_ < needed)
    return std::max(absl::Seconds((needed - left_) / rate.per_second), absl::Milliseconds(1));
  left_ -= amount;
  return absl::ZeroDuration();
}

}  // namespace rundlet::server
