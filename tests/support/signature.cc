#include "tests/support/signature.h"

#include <vector>

#include "core/base/sha256.h"
#include "core/entry/entry.h"
#include "core/evidence/seal.h"

namespace rundlet::testing {

absl::StatusOr<std::string> SignatureOver(const Writer& device,
                                          absl::Span<const std::string> entries,
                                          const evidence::SigningKey& key) {
  Sha256 sha;
  std::vector<Hash> leaves;
  for (const std::string& entry : entries) leaves.push_back(LeafHash(sha, entry));
  return evidence::SignSeal(evidence::SealOf(device.cellar_id, device.device_id, leaves), key);
}

}  // namespace rundlet::testing
