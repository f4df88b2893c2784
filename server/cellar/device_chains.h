#ifndef RUNDLET_SERVER_CELLAR_DEVICE_CHAINS_H_
#define RUNDLET_SERVER_CELLAR_DEVICE_CHAINS_H_

#include <cstdint>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/fold/ids.h"

namespace rundlet::server {

// The chains of a cellar's devices, so far as the journal has them: each entry names the leaf hash
// of its device's entry before it. Gaps are normal, as an entry may have been returned and later
// ones not; where neighbours are both known, the later one's hash must be the earlier one's.
//
// Not thread-safe.
class DeviceChains {
 public:
  enum class Fit {
    kFits,
    kNumberTaken,    // the device has an entry of this number
    kAfterAnother,   // it does not name the entry before it
    kBeforeAnother,  // the entry after it names another one
  };

  // Whether an entry would fit; see Fit.
  Fit Check(const Uuid& device_id, uint64_t device_seq, const Hash& leaf_hash,
            absl::string_view previous_hash) const;

  // Takes an entry in that fits. Rows must come as 0, 1, 2, ...
  void Add(const Uuid& device_id, uint64_t device_seq, const Hash& leaf_hash,
           absl::string_view previous_hash);

  const Hash& leaf_hash(RowId row) const { return leaf_hashes_[row]; }
  size_t size() const { return leaf_hashes_.size(); }

 private:
  struct Chain {
    absl::flat_hash_map<uint64_t, RowId> rows;  // by running number
    // What an entry says of the one before it, while that one is not known.
    absl::flat_hash_map<uint64_t, Hash> expected;
  };

  std::vector<Hash> leaf_hashes_;  // by row
  absl::flat_hash_map<Uuid, Chain> chains_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_DEVICE_CHAINS_H_
