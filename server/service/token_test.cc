// Goal: a token has one spelling, names where it is to be looked up, and page tokens are told
// apart. Method: written and read back; every other spelling of the same bytes is tried.
#include "server/service/token.h"

#include "absl/strings/match.h"
#include "gtest/gtest.h"
#include "server/errors.h"
#include "server/service/page_token.h"

namespace rundlet::server {
namespace {

const TokenOwner kOwner = {Uuid::Version7(1, {1, 2}), Uuid::Version7(2, {3, 4})};

std::string Token() {
  TokenSecret secret;
  secret.fill(0xfb);
  return FormatToken(kOwner, secret);
}

TEST(TokenTest, IsReadBack) {
  const std::string token = Token();
  EXPECT_TRUE(absl::StartsWith(token, "rdl1."));
  EXPECT_EQ(token.size(), 91u);
  const absl::StatusOr<TokenOwner> owner = ParseToken(token);
  ASSERT_TRUE(owner.ok()) << owner.status();
  EXPECT_EQ(owner->cellar_id, kOwner.cellar_id);
  EXPECT_EQ(owner->device_id, kOwner.device_id);
}

TEST(TokenTest, HasOneSpelling) {
  const std::string token = Token();
  std::vector<std::string> others = {
      "",           "rdl1.",     token.substr(5), "rdl2." + token.substr(5), token + "=",
      token + "==", " " + token, token + " ",     token.substr(0, 90)};
  std::string standard = token;  // the other alphabet
  for (char& c : standard) {
    if (c == '-') c = '+';
    if (c == '_') c = '/';
  }
  ASSERT_NE(standard, token);
  others.push_back(standard);
  std::string loose = token;  // bits that decoders throw away
  loose.back() = static_cast<char>(loose.back() + 1);
  others.push_back(loose);
  for (const std::string& other : others) {
    EXPECT_EQ(ReasonOf(ParseToken(other).status()), "TOKEN_MALFORMED") << other;
  }
}

TEST(TokenTest, HashesAreCompared) {
  const Hash hash = HashToken(Token());
  Hash other = hash;
  EXPECT_TRUE(EqualHashes(hash, other));
  other[31] ^= 1;
  EXPECT_FALSE(EqualHashes(hash, other));
}

TEST(PageTokenTest, BelongsToOneList) {
  const std::string token = FormatPageToken('J', kOwner.device_id);
  const absl::StatusOr<Uuid> id = ParsePageToken('J', token);
  ASSERT_TRUE(id.ok()) << id.status();
  EXPECT_EQ(*id, kOwner.device_id);
  EXPECT_EQ(ReasonOf(ParsePageToken('H', token).status()), "BAD_PAGE_TOKEN");
  for (const char* other : {"", "x", "!!!!"}) {
    EXPECT_EQ(ReasonOf(ParsePageToken('J', other).status()), "BAD_PAGE_TOKEN") << other;
  }
}

}  // namespace
}  // namespace rundlet::server
