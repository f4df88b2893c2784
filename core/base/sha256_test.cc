// Goal: hashes are those of the standard. Method: the example values that NIST publishes for FIPS
// 180.
#include "core/base/sha256.h"

#include "absl/strings/escaping.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

TEST(Sha256Test, PublishedExamples) {
  Sha256 sha;
  sha.Update("ab");
  sha.Update("c");
  EXPECT_EQ(absl::BytesToHexString(HashBytes(sha.Finish())),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(absl::BytesToHexString(HashBytes(sha.Finish())),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  sha.Update("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
  EXPECT_EQ(absl::BytesToHexString(HashBytes(sha.Finish())),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

}  // namespace
}  // namespace rundlet
