#include "server/metrics/instruments.h"

#include <algorithm>
#include <cstdlib>

#include "absl/algorithm/container.h"

namespace rundlet::server {

Histogram::Histogram(absl::Span<const double> bounds) : bounds_(bounds) {
  if (bounds.size() > kMaxBounds || !absl::c_is_sorted(bounds)) std::abort();
}

void Histogram::Observe(double value) {
  const auto bound = absl::c_lower_bound(bounds_, value);
  buckets_[static_cast<size_t>(bound - bounds_.begin())].fetch_add(1, std::memory_order_relaxed);
  sum_.fetch_add(value, std::memory_order_relaxed);
}

}  // namespace rundlet::server
