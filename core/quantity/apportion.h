#ifndef RUNDLET_CORE_QUANTITY_APPORTION_H_
#define RUNDLET_CORE_QUANTITY_APPORTION_H_

#include <cstdint>
#include <vector>

#include "absl/types/span.h"

namespace rundlet {

// Shares a whole number out by weight, exactly: the parts add up to it. By largest remainder: each
// part is rounded down, and what is missing goes, one by one, to the largest remainders, at a tie
// to the first of them. Weights are zero or more; where all are zero, so are the parts, and nothing
// is shared out.
std::vector<int64_t> Apportion(int64_t total, absl::Span<const int64_t> weights);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_APPORTION_H_
