#ifndef RUNDLET_CORE_EVIDENCE_MERKLE_H_
#define RUNDLET_CORE_EVIDENCE_MERKLE_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"

namespace rundlet::evidence {

// The Merkle tree over a journal, as RFC 9162 (section 2.1; the same as RFC 6962) has it: SHA-256,
// 0x00 before what a leaf hashes (LeafHash of core/entry/entry.h) and 0x01 before what a node does.
// Whoever knows the root of a journal of some size can be shown, with a few hashes, that an entry
// is in it, and that a longer journal begins with it.

Hash HashNode(Sha256& sha, const Hash& left, const Hash& right);

// The root of a perfect part of the tree: of the 2^level leaves from index * 2^level on.
struct NodeId {
  int level = 0;
  uint64_t index = 0;
  friend bool operator==(const NodeId&, const NodeId&) = default;
  friend auto operator<=>(const NodeId&, const NodeId&) = default;
};

// A tree that grows at its end and keeps only what it needs to grow: the roots of the perfect parts
// that it is made of, largest first, at most one of each size. Not safe to share between threads.
class Frontier {
 public:
  Frontier() = default;
  Frontier(const Frontier& other) : size_(other.size_), parts_(other.parts_) {}
  Frontier& operator=(const Frontier& other) {
    size_ = other.size_;
    parts_ = other.parts_;
    return *this;
  }

  uint64_t size() const { return size_; }
  void Append(const Hash& leaf);
  // Of the empty tree: SHA-256 of nothing.
  Hash Root() const;

  // To keep it: the size, then the hashes. Reading InvalidArgument: these bytes are no such thing.
  std::string ToBytes() const;
  static absl::StatusOr<Frontier> FromBytes(absl::string_view bytes);

 private:
  uint64_t size_ = 0;
  std::vector<Hash> parts_;
  mutable Sha256 sha_;
};

// Gives the hash of a perfect part that lies wholly in the tree.
using ReadNode = absl::FunctionRef<absl::StatusOr<Hash>(NodeId)>;

// The root of the first `size` leaves.
absl::StatusOr<Hash> RootOf(uint64_t size, ReadNode read);
// Section 2.1.3.1: the hashes beside the way from a leaf up to the root. OutOfRange unless
// index < size. O(log size) nodes are read.
absl::StatusOr<std::vector<Hash>> InclusionProof(uint64_t index, uint64_t size, ReadNode read);
// Section 2.1.4.1: what shows that the tree of `size` begins with that of `old_size`. OutOfRange
// unless old_size <= size. Empty where one of them is empty, or both are the same.
absl::StatusOr<std::vector<Hash>> ConsistencyProof(uint64_t old_size, uint64_t size, ReadNode read);

// Sections 2.1.3.2 and 2.1.4.2. FailedPrecondition: the proof does not show it.
absl::Status VerifyInclusion(const Hash& leaf, uint64_t index, uint64_t size,
                             absl::Span<const Hash> proof, const Hash& root);
absl::Status VerifyConsistency(uint64_t old_size, const Hash& old_root, uint64_t size,
                               const Hash& root, absl::Span<const Hash> proof);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_MERKLE_H_
