#include "core/evidence/proof_tree.h"

#include "absl/strings/str_cat.h"

namespace rundlet::evidence {

void ProofTree::Append(const Hash& leaf) {
  Hash node = leaf;
  for (size_t level = 0;; ++level) {
    if (level == levels_.size()) levels_.emplace_back();
    levels_[level].push_back(node);
    const size_t count = levels_[level].size();
    if (count % 2 != 0) return;
    node = HashNode(sha_, levels_[level][count - 2], levels_[level][count - 1]);
  }
}

absl::StatusOr<Hash> ProofTree::Node(NodeId id) const {
  const auto level = static_cast<size_t>(id.level);
  if (level >= levels_.size() || id.index >= levels_[level].size())
    return absl::OutOfRangeError(absl::StrCat("the tree has only ", size(), " leaves"));
  return levels_[level][id.index];
}

absl::StatusOr<Hash> ProofTree::Root(uint64_t size) const {
  return RootOf(size, [this](NodeId id) { return Node(id); });
}

absl::StatusOr<std::vector<Hash>> ProofTree::Inclusion(uint64_t index, uint64_t size) const {
  return InclusionProof(index, size, [this](NodeId id) { return Node(id); });
}

}  // namespace rundlet::evidence
