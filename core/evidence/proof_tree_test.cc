// Goal: a proof out of the whole tree shows what it should, in every tree.
// Method: all leaves of all sizes up to 130, held against the frontier's root, which grows in
// another way; a journal of 100,000 for the cost.
#include "core/evidence/proof_tree.h"

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "gtest/gtest.h"

namespace rundlet::evidence {
namespace {

TEST(ProofTreeTest, EveryLeafOfEverySize) {
  Sha256 sha;
  ProofTree tree;
  Frontier frontier;
  std::vector<Hash> leaves;
  for (uint64_t size = 1; size <= 130; ++size) {
    leaves.push_back(LeafHash(sha, absl::StrCat("entry ", size)));
    tree.Append(leaves.back());
    frontier.Append(leaves.back());
    ASSERT_EQ(tree.size(), size);
    ASSERT_EQ(*tree.Root(size), frontier.Root());
    for (uint64_t index = 0; index < size; ++index) {
      const auto proof = tree.Inclusion(index, size);
      ASSERT_TRUE(proof.ok()) << proof.status();
      ASSERT_TRUE(VerifyInclusion(leaves[index], index, size, *proof, frontier.Root()).ok());
    }
  }
  EXPECT_FALSE(tree.Inclusion(130, 130).ok());
  EXPECT_FALSE(tree.Inclusion(3, 131).ok());
}

TEST(ProofTreeTest, OlderSizesOfAGrownTree) {
  Sha256 sha;
  ProofTree tree;
  Frontier then;
  std::vector<Hash> leaves;
  for (int i = 0; i < 100'000; ++i) {
    leaves.push_back(LeafHash(sha, absl::StrCat(i)));
    tree.Append(leaves.back());
    if (i < 70'001) then.Append(leaves.back());
  }
  for (uint64_t index = 0; index < 70'001; index += 7) {
    const auto proof = tree.Inclusion(index, 70'001);
    ASSERT_TRUE(proof.ok()) << proof.status();
    ASSERT_TRUE(VerifyInclusion(leaves[index], index, 70'001, *proof, then.Root()).ok());
  }
}

}  // namespace
}  // namespace rundlet::evidence
