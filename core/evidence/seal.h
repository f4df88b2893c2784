#ifndef RUNDLET_CORE_EVIDENCE_SEAL_H_
#define RUNDLET_CORE_EVIDENCE_SEAL_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"

namespace rundlet::evidence {

// A device's signature over the entries that it hands in together: one for them all, over the root
// of a Merkle tree (merkle.h) whose leaves are the entries' leaf hashes in the order of the push.
// So it costs one signature a push, an entry can be shown to be covered by it without the others,
// and entries that the server did not take in need not be there: their hashes do.
struct SealedPush {
  Uuid cellar_id;
  Uuid device_id;
  uint64_t count = 0;
  Hash root = {};
};

SealedPush SealOf(const Uuid& cellar_id, const Uuid& device_id, absl::Span<const Hash> leaves);

// What is signed: "rundlet/seal/1\n", cellar, device, the count as eight bytes, most significant
// first, and the root.
std::string SealMessage(const SealedPush& sealed);

// Internal: the library failed.
absl::StatusOr<std::string> SignSeal(const SealedPush& sealed, const SigningKey& key);
bool VerifySeal(const SealedPush& sealed, const PublicKey& key, absl::string_view signature);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_SEAL_H_
