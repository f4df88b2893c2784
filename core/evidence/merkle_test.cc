// Goal: the tree, its proofs and their verification are those of RFC 9162; nothing that is not so
// can be shown. Method: the leaves and roots that implementations of RFC 6962 share as test vectors
// (the eight inputs from nothing to sixteen bytes; values from memory, and found again with
// a general-purpose hash library); every proof over all sizes up to 70 against a tree reckoned by
// the definition itself; and proofs that are bent in every way.
#include "core/evidence/merkle.h"

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet::evidence {
namespace {

std::string Hex(const Hash& hash) { return absl::BytesToHexString(HashBytes(hash)); }

// Section 2.1.1, word for word.
Hash ByDefinition(const std::vector<Hash>& leaves, size_t begin, size_t end) {
  Sha256 sha;
  if (begin == end) return sha.Finish();
  if (end - begin == 1) return leaves[begin];
  size_t k = 1;
  while (k * 2 < end - begin) k *= 2;
  return HashNode(sha, ByDefinition(leaves, begin, begin + k),
                  ByDefinition(leaves, begin + k, end));
}

std::vector<Hash> Leaves(size_t count) {
  Sha256 sha;
  std::vector<Hash> leaves;
  for (size_t i = 0; i < count; ++i) leaves.push_back(LeafHash(sha, absl::StrCat("entry ", i)));
  return leaves;
}

TEST(MerkleTest, SharedVectors) {
  const std::vector<std::string> inputs = {
      "",
      absl::HexStringToBytes("00"),
      absl::HexStringToBytes("10"),
      absl::HexStringToBytes("2021"),
      absl::HexStringToBytes("3031"),
      absl::HexStringToBytes("40414243"),
      absl::HexStringToBytes("5051525354555657"),
      absl::HexStringToBytes("606162636465666768696a6b6c6d6e6f")};
  const std::vector<std::string> roots = {
      "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
      "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
      "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
      "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
      "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
      "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
      "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
      "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
      "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"};
  Sha256 sha;
  Frontier frontier;
  EXPECT_EQ(Hex(frontier.Root()), roots[0]);
  for (size_t i = 0; i < inputs.size(); ++i) {
    frontier.Append(LeafHash(sha, inputs[i]));
    EXPECT_EQ(Hex(frontier.Root()), roots[i + 1]) << i + 1 << " leaves";
  }
}

TEST(MerkleTest, TheEdgeCanBeKeptAndGrowsOn) {
  const std::vector<Hash> leaves = Leaves(70);
  Frontier frontier;
  for (size_t i = 0; i < leaves.size(); ++i) {
    EXPECT_EQ(frontier.Root(), ByDefinition(leaves, 0, i));
    auto again = Frontier::FromBytes(frontier.ToBytes());
    ASSERT_TRUE(again.ok()) << again.status();
    again->Append(leaves[i]);
    frontier.Append(leaves[i]);
    EXPECT_EQ(again->Root(), frontier.Root());
    EXPECT_EQ(again->size(), i + 1);
  }
  EXPECT_FALSE(Frontier::FromBytes("").ok());
  EXPECT_FALSE(Frontier::FromBytes(frontier.ToBytes() + "x").ok());
  EXPECT_FALSE(Frontier::FromBytes(frontier.ToBytes().substr(0, 40)).ok());
}

class ProofTest : public ::testing::Test {
 protected:
  absl::StatusOr<Hash> Read(NodeId id) {
    ++read_;
    const size_t width = size_t{1} << id.level;
    return ByDefinition(leaves_, id.index * width, (id.index + 1) * width);
  }
  const std::vector<Hash> leaves_ = Leaves(70);
  int read_ = 0;
};

TEST_F(ProofTest, EveryLeafOfEverySize) {
  const auto read = [this](NodeId id) { return Read(id); };
  for (uint64_t size = 1; size <= leaves_.size(); ++size) {
    const Hash root = ByDefinition(leaves_, 0, size);
    EXPECT_EQ(*RootOf(size, read), root);
    for (uint64_t index = 0; index < size; ++index) {
      const auto proof = InclusionProof(index, size, read);
      ASSERT_TRUE(proof.ok()) << proof.status();
      EXPECT_TRUE(VerifyInclusion(leaves_[index], index, size, *proof, root).ok());
      EXPECT_FALSE(VerifyInclusion(leaves_[(index + 1) % 70], index, size, *proof, root).ok());
      EXPECT_FALSE(VerifyInclusion(leaves_[index], index, size, *proof, leaves_[0]).ok() &&
                   size > 1);
      for (size_t i = 0; i < proof->size(); ++i) {
        std::vector<Hash> bent = *proof;
        bent[i][7] ^= 1;
        EXPECT_FALSE(VerifyInclusion(leaves_[index], index, size, bent, root).ok());
        bent = *proof;
        bent.erase(bent.begin() + static_cast<std::ptrdiff_t>(i));
        EXPECT_FALSE(VerifyInclusion(leaves_[index], index, size, bent, root).ok());
      }
      std::vector<Hash> longer = *proof;
      longer.push_back(root);
      EXPECT_FALSE(VerifyInclusion(leaves_[index], index, size, longer, root).ok());
      if (size == 1) continue;
      EXPECT_FALSE(VerifyInclusion(leaves_[index], (index + 1) % size, size, *proof, root).ok());
    }
  }
  EXPECT_EQ(InclusionProof(5, 5, read).status().code(), absl::StatusCode::kOutOfRange);
}

TEST_F(ProofTest, EverySizeFromEverySize) {
  const auto read = [this](NodeId id) { return Read(id); };
  for (uint64_t size = 0; size <= leaves_.size(); ++size) {
    const Hash root = ByDefinition(leaves_, 0, size);
    for (uint64_t old = 0; old <= size; ++old) {
      const Hash old_root = ByDefinition(leaves_, 0, old);
      const auto proof = ConsistencyProof(old, size, read);
      ASSERT_TRUE(proof.ok()) << proof.status();
      EXPECT_TRUE(VerifyConsistency(old, old_root, size, root, *proof).ok()) << old << " " << size;
      // Another history of the same size is not what this one grew from.
      Hash other = old_root;
      other[0] ^= 1;
      EXPECT_FALSE(VerifyConsistency(old, other, size, root, *proof).ok());
      Hash other_root = root;
      other_root[31] ^= 1;
      EXPECT_EQ(VerifyConsistency(old, old_root, size, other_root, *proof).ok(),
                old == 0 && size > 0)
          << "every journal begins with nothing";
      for (size_t i = 0; i < proof->size(); ++i) {
        std::vector<Hash> bent = *proof;
        bent[i][0] ^= 1;
        EXPECT_FALSE(VerifyConsistency(old, old_root, size, root, bent).ok());
        bent = *proof;
        bent.erase(bent.begin() + static_cast<std::ptrdiff_t>(i));
        EXPECT_FALSE(VerifyConsistency(old, old_root, size, root, bent).ok());
      }
    }
    EXPECT_FALSE(ConsistencyProof(size + 1, size, read).ok());
    EXPECT_FALSE(VerifyConsistency(size + 1, root, size, root, {}).ok());
  }
}

// A million leaves: at most two nodes for each level.
TEST_F(ProofTest, FewNodesAreRead) {
  const auto read = [this](NodeId) -> absl::StatusOr<Hash> {
    ++read_;
    return Hash{};
  };
  for (const uint64_t size : {uint64_t{1} << 20, (uint64_t{1} << 20) - 1, uint64_t{1'000'003}}) {
    read_ = 0;
    ASSERT_TRUE(InclusionProof(777'777, size, read).ok());
    EXPECT_LE(read_, 2 * 21);
    read_ = 0;
    ASSERT_TRUE(ConsistencyProof(777'777, size, read).ok());
    EXPECT_LE(read_, 3 * 21);
  }
}

}  // namespace
}  // namespace rundlet::evidence
