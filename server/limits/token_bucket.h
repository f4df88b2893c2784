#ifndef RUNDLET_SERVER_LIMITS_TOKEN_BUCKET_H_
#define RUNDLET_SERVER_LIMITS_TOKEN_BUCKET_H_

#include "absl/time/time.h"

namespace rundlet::server {

// How fast something may be used up: `burst` at once, and `per_second` in the long run.
struct Rate {
  double per_second = 0;
  double burst = 0;
};

// What is left of a rate. A plain value; not safe to share between threads.
class TokenBucket {
 public:
  // Full.
  explicit TokenBucket(const Rate& rate, absl::Time now) : left_(rate.burst), at_(now) {}

  // Takes `amount` and returns zero; or takes nothing and returns how long it is until there will
  // be so much. More than a whole burst is taken from a full bucket, which then owes it. A clock
  // that goes back refills nothing.
  absl::Duration Take(double amount, const Rate& rate, absl::Time now);

 private:
  double left_;
  absl::Time at_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LIMITS_TOKEN_BUCKET_H_
