#ifndef RUNDLET_TESTS_SUPPORT_RANDOM_H_
#define RUNDLET_TESTS_SUPPORT_RANDOM_H_

#include <cstdint>
#include <utility>
#include <vector>

namespace rundlet::testing {

// Random numbers that are the same for a seed on every machine and with every standard library
// (SplitMix64; its authors are Steele, Lea and Flood, "Fast splittable pseudorandom number
// generators", OOPSLA 2014). Not for secrets. Not safe to share between threads.
class Random {
 public:
  explicit Random(uint64_t seed) : state_(seed) {}

  uint64_t Next() {
    uint64_t z = state_ += 0x9e3779b97f4a7c15;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
    z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
    return z ^ (z >> 31);
  }

  // 0 <= result < bound, for a bound above zero. Slightly uneven, which no test minds.
  int64_t Below(int64_t bound) {
    return static_cast<int64_t>(Next() % static_cast<uint64_t>(bound));
  }
  // low <= result <= high.
  int64_t Between(int64_t low, int64_t high) { return low + Below(high - low + 1); }
  bool Chance(int per_thousand) { return Below(1000) < per_thousand; }

  template <typename T>
  const T& Pick(const std::vector<T>& list) {
    return list[Below(static_cast<int64_t>(list.size()))];
  }

  template <typename T>
  void Shuffle(std::vector<T>& list) {
    for (size_t i = list.size(); i > 1; --i) {
      std::swap(list[i - 1], list[Below(static_cast<int64_t>(i))]);
    }
  }

 private:
  uint64_t state_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_RANDOM_H_
