// Goal: a checkpoint says what was signed and nothing else; who changes it, or signs it with
// another key, is found out; its form is that of C2SP's notes. Method: round trips, an example
// whose bytes are put together here by the text of the specification (from memory), and bent notes.
#include "core/evidence/checkpoint.h"

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet::evidence {
namespace {

using ::testing::StartsWith;

SigningKey Key(char fill) { return *SigningKey::FromSeed(std::string(32, fill)); }

Checkpoint Example() {
  Checkpoint checkpoint{.cellar_id = *Uuid::Parse("01900000-0000-7000-8000-000000000001"),
                        .size = 42};
  checkpoint.root.fill(7);
  return checkpoint;
}

TEST(CheckpointTest, SaysWhatWasSigned) {
  const SigningKey key = Key('a');
  const auto note = SignCheckpoint(Example(), key);
  ASSERT_TRUE(note.ok()) << note.status();
  EXPECT_THAT(*note, StartsWith("rundlet/01900000-0000-7000-8000-000000000001\n42\n"
                                "BwcHBwcHBwcHBwcHBwcHBwcHBwcHBwcHBwcHBwcHBwc=\n\n"
                                "\xe2\x80\x94 rundletd "));
  const auto opened = OpenCheckpoint(*note, key.public_key());
  ASSERT_TRUE(opened.ok()) << opened.status();
  EXPECT_EQ(*opened, Example());
}

// The key's name in four bytes: SHA-256 of name, line break, 0x01 and the key.
TEST(CheckpointTest, TheKeysNameIsThatOfTheSpecification) {
  const SigningKey key = Key('a');
  Sha256 sha;
  sha.Update("rundletd\n\x01");
  sha.Update(key.public_key().bytes());
  const std::string id = absl::BytesToHexString(HashBytes(sha.Finish()).substr(0, 4));
  EXPECT_THAT(PrintKey(key.public_key()), StartsWith(absl::StrCat("rundletd+", id, "+A")));
  const auto again = ReadKey(PrintKey(key.public_key()));
  ASSERT_TRUE(again.ok()) << again.status();
  EXPECT_EQ(*again, key.public_key());
  for (const std::string& bad : std::vector<std::string>{
           "", "rundletd", PrintKey(key.public_key()) + "A",
           absl::StrReplaceAll(PrintKey(key.public_key()), {{"rundletd", "other"}}),
           absl::StrCat(
               "rundletd+00000000+",
               PrintKey(key.public_key()).substr(std::string("rundletd+00000000+").size()))})
    EXPECT_FALSE(ReadKey(bad).ok()) << bad;
}

TEST(CheckpointTest, WhatWasChangedIsFoundOut) {
  const SigningKey key = Key('a');
  const std::string note = *SignCheckpoint(Example(), key);
  EXPECT_EQ(OpenCheckpoint(note, Key('b').public_key()).status().code(),
            absl::StatusCode::kFailedPrecondition);
  EXPECT_EQ(OpenCheckpoint(absl::StrReplaceAll(note, {{"\n42\n", "\n43\n"}}), key.public_key())
                .status()
                .code(),
            absl::StatusCode::kFailedPrecondition);
  for (size_t i = 0; i < note.size(); ++i) {
    std::string bent = note;
    bent[i] ^= 1;
    const auto opened = OpenCheckpoint(bent, key.public_key());
    EXPECT_FALSE(opened.ok()) << "byte " << i;
  }
  for (const char* text : {"", "\n\n", "rundlet/x\n1\nAA==\n\n", "no note"})
    EXPECT_EQ(OpenCheckpoint(text, key.public_key()).status().code(),
              absl::StatusCode::kInvalidArgument);
}

// Who adds a signature of their own, as a witness does, changes nothing of ours.
TEST(CheckpointTest, OtherSignaturesDoNotMatter) {
  const SigningKey key = Key('a');
  std::string note = *SignCheckpoint(Example(), key);
  absl::StrAppend(&note, "\xe2\x80\x94 witness.example AAAAAAAA\n");
  EXPECT_TRUE(OpenCheckpoint(note, key.public_key()).ok());
}

}  // namespace
}  // namespace rundlet::evidence
