// Goal: an invitation arrives as it was sent, or is refused with what to do.
// Method: there and back; every single character changed or cut off; broken into lines.
#include "core/identity/invitation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace rundlet {
namespace {

using ::testing::HasSubstr;

const std::string kSeed(32, 's');

Invitation Sample() {
  Invitation invitation{.server = "cellar.example:7117",
                        .cellar_id = *Uuid::FromBytes(std::string(16, 'c')),
                        .key = *evidence::SigningKey::FromSeed(kSeed),
                        .role = MemberRole::kHand,
                        .expires_at_us = 1'700'000'000'000'000};
  invitation.fingerprint.fill('f');
  return invitation;
}

TEST(InvitationTest, ThereAndBack) {
  using Known = Invitation::Known;
  for (const Known known : {Known::kByFingerprint, Known::kByAuthority, Known::kPlainText}) {
    Invitation sent = Sample();
    sent.known = known;
    if (known != Known::kByFingerprint) sent.fingerprint = {};
    const std::string text = FormatInvitation(sent, kSeed);
    EXPECT_LT(text.size(), 250) << "it has to fit a QR code that a terminal can show";
    const auto got = ParseInvitation(text);
    ASSERT_TRUE(got.ok()) << got.status();
    EXPECT_EQ(got->server, sent.server);
    EXPECT_EQ(got->cellar_id, sent.cellar_id);
    EXPECT_EQ(got->key.public_key(), sent.key.public_key());
    EXPECT_EQ(got->role, sent.role);
    EXPECT_EQ(got->expires_at_us, sent.expires_at_us);
    EXPECT_EQ(got->known, known);
    EXPECT_EQ(got->fingerprint, sent.fingerprint);
  }
}

TEST(InvitationTest, LineBreaksDoNoHarm) {
  std::string text = FormatInvitation(Sample(), kSeed);
  text.insert(40, "\r\n ");
  EXPECT_TRUE(ParseInvitation(" " + text + "\n").ok());
}

TEST(InvitationTest, EveryChangedCharacterIsNoticed) {
  const std::string text = FormatInvitation(Sample(), kSeed);
  for (size_t i = 0; i < text.size(); ++i) {
    std::string other = text;
    other[i] = other[i] == 'A' ? 'B' : 'A';
    if (i + 1 == text.size() && ParseInvitation(other).ok()) continue;  // bits beyond the last byte
    EXPECT_FALSE(ParseInvitation(other).ok()) << i;
    EXPECT_FALSE(ParseInvitation(text.substr(0, i)).ok()) << i;
  }
}

TEST(InvitationTest, SaysWhatToDo) {
  EXPECT_THAT(std::string(ParseInvitation("hello").status().message()),
              HasSubstr("rundlet invite"));
  EXPECT_THAT(std::string(ParseInvitation("rdi2.AAAA").status().message()), HasSubstr("upgrade"));
  EXPECT_THAT(std::string(ParseInvitation("rdi1.AAAA").status().message()),
              HasSubstr("copy the whole line"));
}

}  // namespace
}  // namespace rundlet
