#ifndef RUNDLET_CORE_EVIDENCE_CHECKPOINT_H_
#define RUNDLET_CORE_EVIDENCE_CHECKPOINT_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"

namespace rundlet::evidence {

// What a server says of a cellar's journal, signed: how long it is, and the root of the tree over
// it. Whoever keeps one can prove later what the server said then.
//
// As text it is a checkpoint (C2SP tlog-checkpoint) in a signed note (C2SP signed-note), which
// general-purpose tools of transparency logs read:
//
//   rundlet/01900000-0000-7000-8000-000000000001
//   42
//   <base64 of the root>
//
//   — rundletd <base64 of four bytes that name the key, and the signature>
struct Checkpoint {
  Uuid cellar_id;
  uint64_t size = 0;
  Hash root = {};
  friend bool operator==(const Checkpoint&, const Checkpoint&) = default;
};

absl::StatusOr<std::string> SignCheckpoint(const Checkpoint& checkpoint, const SigningKey& key);

// InvalidArgument: the text is no such note. FailedPrecondition: it is not signed by this key.
absl::StatusOr<Checkpoint> OpenCheckpoint(absl::string_view note, const PublicKey& key);

// A public key as people and files pass it on: "rundletd+1a2b3c4d+<base64>", the verifier key of
// C2SP signed-note. InvalidArgument where the text is none.
std::string PrintKey(const PublicKey& key);
absl::StatusOr<PublicKey> ReadKey(absl::string_view text);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_CHECKPOINT_H_
