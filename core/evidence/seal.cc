#include "core/evidence/seal.h"

#include "absl/strings/str_cat.h"
#include "core/evidence/merkle.h"

namespace rundlet::evidence {

SealedPush SealOf(const Uuid& cellar_id, const Uuid& device_id, absl::Span<const Hash> leaves) {
  Frontier tree;
  for (const Hash& leaf : leaves) tree.Append(leaf);
  return {
      .cellar_id = cellar_id, .device_id = device_id, .count = leaves.size(), .root = tree.Root()};
}

std::string SealMessage(const SealedPush& sealed) {
  std::string count;
  for (int shift = 56; shift >= 0; shift -= 8)
    count.push_back(static_cast<char>(sealed.count >> shift & 0xff));
  return absl::StrCat("rundlet/seal/1\n", sealed.cellar_id.bytes(), sealed.device_id.bytes(), count,
                      HashBytes(sealed.root));
}

absl::StatusOr<std::string> SignSeal(const SealedPush& sealed, const SigningKey& key) {
  return key.Sign(SealMessage(sealed));
}

bool VerifySeal(const SealedPush& sealed, const PublicKey& key, absl::string_view signature) {
  return key.Verify(SealMessage(sealed), signature);
}

}  // namespace rundlet::evidence
