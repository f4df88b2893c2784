#include "server/cellar/device_chains.h"

#include <algorithm>

namespace rundlet::server {

DeviceChains::Fit DeviceChains::Check(const Uuid& device_id, uint64_t device_seq,
                                      const Hash& leaf_hash,
                                      absl::string_view previous_hash) const {
  const auto found = chains_.find(device_id);
  if (found == chains_.end()) return Fit::kFits;
  const Chain& chain = found->second;
  if (chain.rows.contains(device_seq)) return Fit::kNumberTaken;
  if (const auto before = chain.rows.find(device_seq - 1); before != chain.rows.end()) {
    if (previous_hash != HashBytes(leaf_hashes_[before->second])) return Fit::kAfterAnother;
  }
  if (const auto expected = chain.expected.find(device_seq); expected != chain.expected.end()) {
    if (expected->second != leaf_hash) return Fit::kBeforeAnother;
  }
  return Fit::kFits;
}

void DeviceChains::Add(const Uuid& device_id, uint64_t device_seq, const Hash& leaf_hash,
                       absl::string_view previous_hash) {
  Chain& chain = chains_[device_id];
  chain.rows.emplace(device_seq, static_cast<RowId>(leaf_hashes_.size()));
  chain.expected.erase(device_seq);
  Hash previous;
  if (previous_hash.size() == previous.size() && !chain.rows.contains(device_seq - 1)) {
    std::copy(previous_hash.begin(), previous_hash.end(), previous.begin());
    chain.expected.emplace(device_seq - 1, previous);
  }
  leaf_hashes_.push_back(leaf_hash);
}

}  // namespace rundlet::server
