#ifndef RUNDLET_TESTS_LOAD_LATENCIES_H_
#define RUNDLET_TESTS_LOAD_LATENCIES_H_

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "absl/time/time.h"

namespace rundlet::load {

// How long calls of one kind took. One thread at a time; each thread has its own, and they are
// put together at the end.
class Latencies {
 public:
  void Add(absl::Duration took) { ms_.push_back(absl::ToDoubleMilliseconds(took)); }
  void Add(const Latencies& others) { ms_.insert(ms_.end(), others.ms_.begin(), others.ms_.end()); }

  size_t count() const { return ms_.size(); }

  // Milliseconds that this share of the calls took at most, by nearest rank; 0 if there were none.
  double Quantile(double share) const {
    if (ms_.empty()) return 0;
    std::vector<double> sorted = ms_;
    std::sort(sorted.begin(), sorted.end());
    const auto rank = static_cast<size_t>(std::ceil(share * static_cast<double>(sorted.size())));
    return sorted[std::max<size_t>(rank, 1) - 1];
  }

 private:
  std::vector<double> ms_;
};

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_LATENCIES_H_
