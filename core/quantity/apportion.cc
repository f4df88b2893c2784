#include "core/quantity/apportion.h"

#include <algorithm>
#include <numeric>

namespace rundlet {

std::vector<int64_t> Apportion(int64_t total, absl::Span<const int64_t> weights) {
  __int128 sum = 0;
  for (const int64_t weight : weights) sum += weight;
  std::vector<int64_t> parts(weights.size());
  if (sum == 0) return parts;
  std::vector<__int128> remainders(weights.size());
  int64_t missing = total;
  for (size_t i = 0; i < weights.size(); ++i) {
    const __int128 product = static_cast<__int128>(total) * weights[i];
    parts[i] = static_cast<int64_t>(product / sum);
    remainders[i] = product % sum;
    missing -= parts[i];
  }
  std::vector<size_t> order(weights.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](size_t a, size_t b) { return remainders[a] > remainders[b]; });
  for (size_t i = 0; missing > 0; ++i, --missing) ++parts[order[i]];
  return parts;
}

}  // namespace rundlet
