// Goal: a journal whose seals hold is what its devices signed, entry by entry; whatever is changed,
// left out, put in another order or put into another's mouth is found, with its place.
// Method: a small journal of two devices, sealed as a server does it, then bent in each way.
#include "core/evidence/seal_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <vector>

#include "core/entry/entry.h"
#include "core/evidence/seal.h"

namespace rundlet::evidence {
namespace {

using ::testing::HasSubstr;

Uuid IdOf(char byte) { return *Uuid::FromBytes(std::string(16, byte)); }
const Uuid kCellar = IdOf('c');

class Journal {
 public:
  // A push of so many entries; those named absent are signed, and not taken in.
  void Push(char device, const SigningKey& key, int count, std::vector<int> absent = {}) {
    v1::Seal seal;
    seal.set_device_id(IdOf(device).ToBytes());
    std::vector<Hash> leaves;
    Sha256 sha;
    for (int i = 0; i < count; ++i) {
      const Hash hash = LeafHash(sha, std::to_string(++made_));
      leaves.push_back(hash);
      if (std::find(absent.begin(), absent.end(), i) != absent.end()) {
        seal.add_parts()->set_absent_hash(std::string(HashBytes(hash)));
        continue;
      }
      places.push_back({hash, IdOf(device)});
      v1::SealRun* run = seal.add_parts()->mutable_run();
      run->set_first_seq(places.size());
      run->set_count(1);
    }
    seal.set_last_seq(places.size());
    seal.set_signature(*SignSeal(SealOf(kCellar, IdOf(device), leaves), key));
    seals.push_back(seal);
  }

  // The first thing that does not hold; empty if all does.
  std::string Problem() const {
    uint64_t before = 0;
    for (const v1::Seal& seal : seals) {
      const auto first =
          CheckSeal(seal, kCellar, before, keys, [&](uint64_t seq) -> absl::StatusOr<SealedPlace> {
            if (seq > places.size()) return absl::NotFoundError("no such place");
            return places[seq - 1];
          });
      if (!first.ok()) return std::string(first.status().message());
      if (*first != before + 1) return "a gap";
      before = seal.last_seq();
    }
    return before == places.size() ? "" : "the end bears no signature";
  }

  std::vector<SealedPlace> places;
  std::vector<v1::Seal> seals;
  KeyRing keys;

 private:
  int made_ = 0;
};

class SealCheckTest : public ::testing::Test {
 protected:
  SealCheckTest() {
    journal_.keys.Add(IdOf('a'), 1, ada_.public_key());
    journal_.keys.Add(IdOf('b'), 4, bea_.public_key());
    journal_.Push('a', ada_, 3);
    journal_.Push('b', bea_, 4, {1, 3});
    journal_.Push('a', ada_, 2);
  }

  SigningKey ada_ = *SigningKey::FromSeed(std::string(32, 'a'));
  SigningKey bea_ = *SigningKey::FromSeed(std::string(32, 'b'));
  Journal journal_;
};

TEST_F(SealCheckTest, WhatWasSignedHolds) { EXPECT_EQ(journal_.Problem(), ""); }

TEST_F(SealCheckTest, AChangedEntryAnywhereIsFound) {
  for (SealedPlace& place : journal_.places) {
    place.hash[0] ^= 1;
    EXPECT_THAT(journal_.Problem(), HasSubstr("not what the device signed"));
    place.hash[0] ^= 1;
  }
}

TEST_F(SealCheckTest, RemovedAndReorderedEntriesAreFound) {
  for (size_t i = 0; i < journal_.places.size(); ++i) {
    Journal other = journal_;
    other.places.erase(other.places.begin() + static_cast<std::ptrdiff_t>(i));
    EXPECT_NE(other.Problem(), "") << i;
    other = journal_;
    std::swap(other.places[i], other.places[(i + 1) % other.places.size()]);
    EXPECT_NE(other.Problem(), "") << i;
  }
}

TEST_F(SealCheckTest, AForgedAuthorIsFound) {
  journal_.places[0].device = IdOf('b');
  EXPECT_THAT(journal_.Problem(), HasSubstr("says that it is of device"));
}

TEST_F(SealCheckTest, AnotherKeyThanTheJournalSaysIsFound) {
  const SigningKey mallory = *SigningKey::FromSeed(std::string(32, 'm'));
  journal_.Push('a', mallory, 1);
  EXPECT_THAT(journal_.Problem(), HasSubstr("places 8 to 8"));
}

TEST_F(SealCheckTest, ADeviceWithoutAKeyIsFound) {
  const SigningKey nobody = *SigningKey::FromSeed(std::string(32, 'n'));
  journal_.Push('n', nobody, 1);
  EXPECT_THAT(journal_.Problem(), HasSubstr("no key of this device"));
}

TEST_F(SealCheckTest, EntriesThatNobodySignedAreFound) {
  journal_.places.push_back({{}, IdOf('a')});
  EXPECT_EQ(journal_.Problem(), "the end bears no signature");
  journal_.Push('a', ada_, 1);
  EXPECT_EQ(journal_.Problem(), "a gap");
}

TEST_F(SealCheckTest, ANewKeyHoldsFromTheNextPushOn) {
  const SigningKey next = *SigningKey::FromSeed(std::string(32, 'x'));
  journal_.keys.Add(IdOf('a'), 8, next.public_key());
  journal_.Push('a', ada_, 1);  // place 8 says the new key, signed by the old one
  journal_.Push('a', next, 2);
  EXPECT_EQ(journal_.Problem(), "");
  journal_.Push('a', ada_, 1);
  EXPECT_THAT(journal_.Problem(), HasSubstr("places 11 to 11"));
}

// The answer to a push was lost, and the next one hands the same in again with more.
TEST_F(SealCheckTest, WhatIsThereAlreadyMayBeSignedAgain) {
  Sha256 sha;
  journal_.places.push_back({LeafHash(sha, "new"), IdOf('a')});
  std::vector<Hash> leaves;
  v1::Seal seal;
  seal.set_device_id(IdOf('a').ToBytes());
  for (const auto& [first, count] : {std::pair(1, 3), std::pair(6, 3)}) {
    v1::SealRun* run = seal.add_parts()->mutable_run();
    run->set_first_seq(static_cast<uint64_t>(first));
    run->set_count(static_cast<uint64_t>(count));
    for (int seq = first; seq < first + count; ++seq)
      leaves.push_back(journal_.places[static_cast<size_t>(seq) - 1].hash);
  }
  seal.set_last_seq(8);
  seal.set_signature(*SignSeal(SealOf(kCellar, IdOf('a'), leaves), ada_));
  journal_.seals.push_back(seal);
  EXPECT_EQ(journal_.Problem(), "");
}

TEST_F(SealCheckTest, HostileSealsCostNothing) {
  for (const uint64_t count : {uint64_t{0}, uint64_t{1} << 62, UINT64_MAX}) {
    v1::Seal seal = journal_.seals[0];
    seal.mutable_parts(0)->mutable_run()->set_count(count);
    Journal other = journal_;
    other.seals[0] = seal;
    EXPECT_NE(other.Problem(), "");
  }
}

}  // namespace
}  // namespace rundlet::evidence
