// Goal: a seal stands for exactly these entries of this device of this cellar, in this order.
// Method: one seal, and every change of what it covers; the message's bytes against ones laid out
// by hand from the description in seal.h.
#include "core/evidence/seal.h"

#include <gtest/gtest.h>

#include "absl/strings/escaping.h"
#include "core/entry/entry.h"
#include "core/evidence/enrolment.h"
#include "core/evidence/merkle.h"

namespace rundlet::evidence {
namespace {

Uuid IdOf(char byte) { return *Uuid::FromBytes(std::string(16, byte)); }
SigningKey KeyOf(char byte) { return *SigningKey::FromSeed(std::string(32, byte)); }

std::vector<Hash> Leaves(int count) {
  Sha256 sha;
  std::vector<Hash> leaves;
  for (int i = 0; i < count; ++i) leaves.push_back(LeafHash(sha, std::string(i + 1, 'x')));
  return leaves;
}

TEST(SealTest, StandsForTheseEntriesAlone) {
  const SigningKey key = KeyOf('k');
  const std::vector<Hash> leaves = Leaves(5);
  const SealedPush sealed = SealOf(IdOf('c'), IdOf('d'), leaves);
  const auto signature = SignSeal(sealed, key);
  ASSERT_TRUE(signature.ok());
  EXPECT_TRUE(VerifySeal(SealOf(IdOf('c'), IdOf('d'), leaves), key.public_key(), *signature));

  EXPECT_FALSE(VerifySeal(sealed, KeyOf('l').public_key(), *signature));
  EXPECT_FALSE(VerifySeal(SealOf(IdOf('e'), IdOf('d'), leaves), key.public_key(), *signature));
  EXPECT_FALSE(VerifySeal(SealOf(IdOf('c'), IdOf('e'), leaves), key.public_key(), *signature));
  for (size_t i = 0; i < leaves.size(); ++i) {
    std::vector<Hash> other = leaves;
    other[i][i] ^= 1;
    EXPECT_FALSE(VerifySeal(SealOf(IdOf('c'), IdOf('d'), other), key.public_key(), *signature));
    other = leaves;
    other.erase(other.begin() + static_cast<std::ptrdiff_t>(i));
    EXPECT_FALSE(VerifySeal(SealOf(IdOf('c'), IdOf('d'), other), key.public_key(), *signature));
    other = leaves;
    std::swap(other[i], other[(i + 1) % other.size()]);
    EXPECT_FALSE(VerifySeal(SealOf(IdOf('c'), IdOf('d'), other), key.public_key(), *signature));
  }
  EXPECT_FALSE(VerifySeal(sealed, key.public_key(), ""));
  EXPECT_FALSE(VerifySeal(sealed, key.public_key(), signature->substr(1)));
}

TEST(SealTest, TheMessageIsLaidOutAsDescribed) {
  SealedPush sealed{.cellar_id = IdOf('c'), .device_id = IdOf('d'), .count = 0x0102, .root = {}};
  sealed.root.fill('r');
  EXPECT_EQ(SealMessage(sealed), "rundlet/seal/1\n" + std::string(16, 'c') + std::string(16, 'd') +
                                     std::string("\0\0\0\0\0\0\x01\x02", 8) + std::string(32, 'r'));
}

// An entry is shown to be covered without the others of its push.
TEST(SealTest, OneEntryCanBeShownAlone) {
  const std::vector<Hash> leaves = Leaves(6);
  const SealedPush sealed = SealOf(IdOf('c'), IdOf('d'), leaves);
  const auto read = [&](NodeId node) -> absl::StatusOr<Hash> {
    Frontier part;
    for (uint64_t i = 0; i < uint64_t{1} << node.level; ++i)
      part.Append(leaves[(node.index << node.level) + i]);
    return part.Root();
  };
  for (size_t i = 0; i < leaves.size(); ++i) {
    const auto proof = InclusionProof(i, sealed.count, read);
    ASSERT_TRUE(proof.ok());
    EXPECT_TRUE(VerifyInclusion(leaves[i], i, sealed.count, *proof, sealed.root).ok());
    EXPECT_FALSE(VerifyInclusion(leaves[(i + 1) % 6], i, sealed.count, *proof, sealed.root).ok());
  }
}

TEST(EnrolmentTest, NamesBothKeysAndTheDevice) {
  const Enrolment enrolment{.cellar_id = IdOf('c'),
                            .device_id = IdOf('d'),
                            .device_key = *PublicKey::FromBytes(std::string(32, 'k')),
                            .invitation_key = *PublicKey::FromBytes(std::string(32, 'i'))};
  EXPECT_EQ(EnrolmentMessage(enrolment), "rundlet/enrol/1\n" + std::string(16, 'c') +
                                             std::string(16, 'd') + std::string(32, 'k') +
                                             std::string(32, 'i'));
}

}  // namespace
}  // namespace rundlet::evidence
