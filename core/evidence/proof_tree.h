#ifndef RUNDLET_CORE_EVIDENCE_PROOF_TREE_H_
#define RUNDLET_CORE_EVIDENCE_PROOF_TREE_H_

#include <vector>

#include "absl/status/statusor.h"
#include "core/evidence/merkle.h"

namespace rundlet::evidence {

// A tree of which every perfect part is kept in memory - 64 bytes a leaf -, so that many proofs of
// one journal cost a few look-ups each. Not safe to share between threads while it grows.
class ProofTree {
 public:
  void Append(const Hash& leaf);

  uint64_t size() const { return levels_.empty() ? 0 : levels_[0].size(); }
  // Of the first `size` leaves. OutOfRange: it has not so many.
  absl::StatusOr<Hash> Root(uint64_t size) const;
  // That a leaf is among the first `size`. OutOfRange: it is not, or there are not so many.
  absl::StatusOr<std::vector<Hash>> Inclusion(uint64_t index, uint64_t size) const;

 private:
  absl::StatusOr<Hash> Node(NodeId id) const;

  std::vector<std::vector<Hash>> levels_;  // from the leaves up
  Sha256 sha_;
};

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_PROOF_TREE_H_
