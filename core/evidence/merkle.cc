#include "core/evidence/merkle.h"

#include <algorithm>
#include <bit>
#include <cstring>

#include "absl/strings/str_cat.h"

namespace rundlet::evidence {
namespace {

constexpr char kNodePrefix = 1;
constexpr size_t kHashSize = std::tuple_size_v<Hash>;

Hash EmptyRoot(Sha256& sha) { return sha.Finish(); }

// The largest power of two below n, for n > 1.
uint64_t Split(uint64_t n) { return std::bit_floor(n - 1); }

// The hash of leaves [begin, begin + count), by section 2.1.1; `begin` is a multiple of the largest
// power of two within `count`, as it is everywhere on the way down.
absl::StatusOr<Hash> HashOfRange(Sha256& sha, uint64_t begin, uint64_t count, ReadNode read) {
  if (std::has_single_bit(count)) {
    const int level = std::countr_zero(count);
    return read({.level = level, .index = begin >> level});
  }
  const uint64_t k = Split(count);
  const auto left = HashOfRange(sha, begin, k, read);
  if (!left.ok()) return left;
  const auto right = HashOfRange(sha, begin + k, count - k, read);
  if (!right.ok()) return right;
  return HashNode(sha, *left, *right);
}

// The way from a leaf up to the root, by section 2.1.3.2: at each step the hash beside it stands to
// the left or to the right.
class Climb {
 public:
  Climb(uint64_t node, uint64_t last) : node_(node), last_(last) {}

  // Past the levels at which the node is the right one of two, as a whole tree is below.
  void SkipRightTurns() {
    while ((node_ & 1) != 0) Up();
  }
  bool AtRoot() const { return last_ == 0; }
  // Goes up by one hash; whether that stands to the left.
  bool TakesFromTheLeft() {
    const bool left = (node_ & 1) != 0 || node_ == last_;
    while (left && (node_ & 1) == 0 && node_ != 0) Up();
    Up();
    return left;
  }

 private:
  void Up() {
    node_ >>= 1;
    last_ >>= 1;
  }

  uint64_t node_, last_;  // numbers of the node and of the last one at its level
};

absl::Status NotShown(absl::string_view what) {
  return absl::FailedPreconditionError(absl::StrCat("the proof does not show ", what));
}

}  // namespace

Hash HashNode(Sha256& sha, const Hash& left, const Hash& right) {
  sha.Update(absl::string_view(&kNodePrefix, 1));
  sha.Update(HashBytes(left));
  sha.Update(HashBytes(right));
  return sha.Finish();
}

// ---- growing ----

void Frontier::Append(const Hash& leaf) {
  // As in adding one to a binary number: equal parts at the end are joined.
  Hash part = leaf;
  for (uint64_t carry = size_; (carry & 1) != 0; carry >>= 1) {
    part = HashNode(sha_, parts_.back(), part);
    parts_.pop_back();
  }
  parts_.push_back(part);
  ++size_;
}

Hash Frontier::Root() const {
  if (parts_.empty()) return EmptyRoot(sha_);
  Hash root = parts_.back();
  for (size_t i = parts_.size() - 1; i-- > 0;) root = HashNode(sha_, parts_[i], root);
  return root;
}

std::string Frontier::ToBytes() const {
  std::string bytes;
  for (int shift = 56; shift >= 0; shift -= 8) bytes.push_back(static_cast<char>(size_ >> shift));
  for (const Hash& part : parts_) absl::StrAppend(&bytes, HashBytes(part));
  return bytes;
}

absl::StatusOr<Frontier> Frontier::FromBytes(absl::string_view bytes) {
  Frontier frontier;
  const auto wrong = [] { return absl::InvalidArgumentError("these bytes are no tree's edge"); };
  if (bytes.size() < sizeof(uint64_t)) return wrong();
  for (size_t i = 0; i < sizeof(uint64_t); ++i)
    frontier.size_ = frontier.size_ << 8 | static_cast<uint8_t>(bytes[i]);
  bytes.remove_prefix(sizeof(uint64_t));
  const auto parts = static_cast<size_t>(std::popcount(frontier.size_));
  if (bytes.size() != parts * kHashSize) return wrong();
  frontier.parts_.resize(parts);
  for (size_t i = 0; i < parts; ++i)
    std::memcpy(frontier.parts_[i].data(), bytes.data() + i * kHashSize, kHashSize);
  return frontier;
}

// ---- proofs ----

absl::StatusOr<Hash> RootOf(uint64_t size, ReadNode read) {
  Sha256 sha;
  if (size == 0) return EmptyRoot(sha);
  return HashOfRange(sha, 0, size, read);
}

absl::StatusOr<std::vector<Hash>> InclusionProof(uint64_t index, uint64_t size, ReadNode read) {
  if (index >= size)
    return absl::OutOfRangeError(absl::StrCat("there is no leaf ", index, " of ", size));
  Sha256 sha;
  std::vector<Hash> proof;
  // From the root down; the hashes stand in the proof from the leaf up.
  uint64_t begin = 0, count = size;
  while (count > 1) {
    const uint64_t k = Split(count);
    const bool left = index - begin < k;
    const auto beside =
        left ? HashOfRange(sha, begin + k, count - k, read) : HashOfRange(sha, begin, k, read);
    if (!beside.ok()) return beside.status();
    proof.push_back(*beside);
    begin += left ? 0 : k;
    count = left ? k : count - k;
  }
  std::reverse(proof.begin(), proof.end());
  return proof;
}

absl::StatusOr<std::vector<Hash>> ConsistencyProof(uint64_t old_size, uint64_t size,
                                                   ReadNode read) {
  if (old_size > size)
    return absl::OutOfRangeError(absl::StrCat("a journal of ", size, " had no ", old_size));
  std::vector<Hash> proof;
  if (old_size == 0 || old_size == size) return proof;
  Sha256 sha;
  uint64_t begin = 0, count = size, old = old_size;
  bool whole = true;  // whether what is left of the old tree is all of it
  while (old != count) {
    const uint64_t k = Split(count);
    const bool left = old <= k;
    const auto beside =
        left ? HashOfRange(sha, begin + k, count - k, read) : HashOfRange(sha, begin, k, read);
    if (!beside.ok()) return beside.status();
    proof.push_back(*beside);
    if (!left) {
      begin += k;
      old -= k;
      whole = false;
    }
    count = left ? k : count - k;
  }
  if (!whole) {
    const auto shared = HashOfRange(sha, begin, count, read);
    if (!shared.ok()) return shared.status();
    proof.push_back(*shared);
  }
  std::reverse(proof.begin(), proof.end());
  return proof;
}

// ---- verifying ----

absl::Status VerifyInclusion(const Hash& leaf, uint64_t index, uint64_t size,
                             absl::Span<const Hash> proof, const Hash& root) {
  constexpr char kWhat[] = "that the entry is in the journal";
  if (index >= size) return NotShown(kWhat);
  Sha256 sha;
  Climb climb(index, size - 1);
  Hash hash = leaf;
  for (const Hash& beside : proof) {
    if (climb.AtRoot()) return NotShown(kWhat);
    hash = climb.TakesFromTheLeft() ? HashNode(sha, beside, hash) : HashNode(sha, hash, beside);
  }
  return climb.AtRoot() && hash == root ? absl::OkStatus() : NotShown(kWhat);
}

absl::Status VerifyConsistency(uint64_t old_size, const Hash& old_root, uint64_t size,
                               const Hash& root, absl::Span<const Hash> proof) {
  constexpr char kWhat[] = "that the journal begins with what it was";
  Sha256 sha;
  if (old_size > size) return NotShown(kWhat);
  if (old_size == size)
    return proof.empty() && old_root == root ? absl::OkStatus() : NotShown(kWhat);
  if (old_size == 0)
    return proof.empty() && old_root == EmptyRoot(sha) ? absl::OkStatus() : NotShown(kWhat);
  // A whole tree of a power of two is its own first hash, and is left out of the proof.
  std::vector<Hash> path(proof.begin(), proof.end());
  if (std::has_single_bit(old_size)) path.insert(path.begin(), old_root);
  if (path.empty()) return NotShown(kWhat);
  Climb climb(old_size - 1, size - 1);
  climb.SkipRightTurns();
  Hash old_hash = path[0], hash = path[0];
  for (const Hash& beside : absl::MakeConstSpan(path).subspan(1)) {
    if (climb.AtRoot()) return NotShown(kWhat);
    if (climb.TakesFromTheLeft()) {
      old_hash = HashNode(sha, beside, old_hash);
      hash = HashNode(sha, beside, hash);
    } else {
      hash = HashNode(sha, hash, beside);
    }
  }
  return climb.AtRoot() && old_hash == old_root && hash == root ? absl::OkStatus()
                                                                : NotShown(kWhat);
}

}  // namespace rundlet::evidence
