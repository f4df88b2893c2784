#include "core/evidence/key_ring.h"

#include <iterator>

namespace rundlet::evidence {

const PublicKey* KeyRing::For(const Uuid& device, uint64_t first, uint64_t last) const {
  const auto known = keys_.find(device);
  if (known == keys_.end()) return nullptr;
  const auto from_first = known->second.lower_bound(first);
  if (from_first != known->second.begin()) return &std::prev(from_first)->second;
  return from_first->first <= last ? &from_first->second : nullptr;
}

}  // namespace rundlet::evidence
