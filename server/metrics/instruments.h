#ifndef RUNDLET_SERVER_METRICS_INSTRUMENTS_H_
#define RUNDLET_SERVER_METRICS_INSTRUMENTS_H_

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>

#include "absl/time/clock.h"
#include "absl/time/time.h"
#include "absl/types/span.h"

namespace rundlet::server {

// What is counted while the server works. Whatever does the work owns its instruments and writes to
// them; a registry (registry.h) names them and reads them when somebody asks. Writing takes no lock
// and no memory, so it may stand anywhere; any number of threads may write and read at once.

// How often something happened. It never falls.
class Counter {
 public:
  void Add(uint64_t n = 1) { value_.fetch_add(n, std::memory_order_relaxed); }
  uint64_t value() const { return value_.load(std::memory_order_relaxed); }

 private:
  std::atomic<uint64_t> value_ = 0;
};

// How many of the observed values lay at or below each of some bounds, and their sum.
class Histogram {
 public:
  static constexpr size_t kMaxBounds = 20;

  // `bounds` rise, are kMaxBounds at most, and outlive this.
  explicit Histogram(absl::Span<const double> bounds);

  void Observe(double value);
  void Observe(absl::Duration value) { Observe(absl::ToDoubleSeconds(value)); }

  absl::Span<const double> bounds() const { return bounds_; }
  // How many lay above the bound before and at or below this one; the last one is what lay above
  // all.
  uint64_t bucket(size_t i) const { return buckets_.at(i).load(std::memory_order_relaxed); }
  double sum() const { return sum_.load(std::memory_order_relaxed); }

 private:
  const absl::Span<const double> bounds_;
  std::array<std::atomic<uint64_t>, kMaxBounds + 1> buckets_ = {};
  std::atomic<double> sum_ = 0;
};

// Calls `work`, returns what it returns, and observes how long it took.
template <typename Work>
auto TimedBy(Histogram& seconds, Work&& work) {
  const absl::Time begun = absl::Now();
  auto result = work();
  seconds.Observe(absl::Now() - begun);
  return result;
}

// From a memory access to a patient caller's deadline, in seconds.
inline constexpr std::array<double, 14> kWaitBounds = {
    0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10, 30};
// From a push at once to one after a long journey, in seconds: a second, a minute, an hour, six
// hours, a day, three, a week, a month, a quarter, a year.
inline constexpr std::array<double, 10> kAgeBounds = {
    1, 60, 3'600, 21'600, 86'400, 259'200, 604'800, 2'592'000, 7'776'000, 31'536'000};
// Things together.
inline constexpr std::array<double, 12> kSizeBounds = {1,   2,   5,   10,    20,    50,
                                                       100, 200, 500, 1'000, 2'000, 5'000};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_METRICS_INSTRUMENTS_H_
