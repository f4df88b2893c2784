#ifndef RUNDLET_CORE_EVIDENCE_SEAL_CHECK_H_
#define RUNDLET_CORE_EVIDENCE_SEAL_CHECK_H_

#include <cstdint>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/key_ring.h"
#include "rundlet/v1/seal.pb.h"

namespace rundlet::evidence {

// What stands at a place of the journal, as far as a seal speaks of it.
struct SealedPlace {
  Hash hash = {};  // of the entry's bytes
  Uuid device;     // that the entry says wrote it
};
using ReadPlace = absl::FunctionRef<absl::StatusOr<SealedPlace>(uint64_t seq)>;

// Checks a seal against the journal. `before` is the last place of the seal before it: what is new
// by this one are the places after that, up to its own last. Each of them has to be the device's,
// and the signature has to be one of the key that the device had by then. `keys` knows what is said
// up to its last place.
//
// Returns the first new place that it covers: before + 1, but for the first seal of a journal that
// has entries from before there were seals. FailedPrecondition says, of which device and places,
// what does not hold. Other errors are those of `read`.
absl::StatusOr<uint64_t> CheckSeal(const v1::Seal& seal, const Uuid& cellar_id, uint64_t before,
                                   const KeyRing& keys, ReadPlace read);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_SEAL_CHECK_H_
