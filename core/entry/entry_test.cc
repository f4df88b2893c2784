// Goal: bytes become an entry, or a reason why not; hashes are those of the standard; the writer
// makes a chain that anybody can follow.
// Method: each rule of the envelope broken and just kept; published values of RFC 9162's tree; a
// chain followed by hand.
#include "core/entry/entry.h"

#include <functional>
#include <string>

#include "absl/strings/escaping.h"
#include "core/entry/limits.h"
#include "core/entry/writer.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/drafts.h"

namespace rundlet {
namespace {

using ::testing::HasSubstr;
using testing::IdOf;
namespace draft = testing::draft;

v1::Entry Sound() {
  v1::Entry entry = draft::Gauging("C1", 1);
  entry.set_entry_id(IdOf("entry").ToBytes());
  entry.set_cellar_id(IdOf("cellar").ToBytes());
  entry.set_author_id(IdOf("author").ToBytes());
  entry.set_device_id(IdOf("device").ToBytes());
  entry.set_device_seq(1);
  entry.set_format_version(kFormatVersion);
  return entry;
}

v1::Entry Amending() {
  v1::Entry entry = Sound();
  entry.mutable_amendment()->set_target_id(IdOf("target").ToBytes());
  entry.mutable_amendment()->set_place_device_id(IdOf("device").ToBytes());
  entry.mutable_amendment()->set_place_device_seq(1);
  return entry;
}

using Change = std::function<void(v1::Entry&)>;

void Fine(v1::Entry entry, const Change& change) {
  change(entry);
  EXPECT_TRUE(CheckEntry(entry).ok()) << CheckEntry(entry);
  EXPECT_TRUE(ParseEntry(entry.SerializeAsString()).ok());
}

void Refused(v1::Entry entry, const Change& change, const std::string& why) {
  change(entry);
  const absl::Status status = CheckEntry(entry);
  EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument) << why;
  EXPECT_THAT(std::string(status.message()), HasSubstr(why));
  EXPECT_EQ(ParseEntry(entry.SerializeAsString()).status(), status);
}

TEST(EnvelopeTest, Ids) {
  Fine(Sound(), [](v1::Entry&) {});
  Refused(
      Sound(), [](v1::Entry& e) { e.clear_entry_id(); }, "the id of the entry");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_cellar_id("short"); }, "the id of the cellar");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_author_id(std::string(17, 'a')); }, "the id of the author");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_device_id(std::string(16, '\0')); },
      "the id of the device");
}

TEST(EnvelopeTest, NumberAndChain) {
  const std::string hash(32, 'h');
  Fine(Sound(), [&](v1::Entry& e) { e.set_device_seq(2), e.set_previous_hash(hash); });
  Fine(Sound(), [&](v1::Entry& e) { e.set_device_seq(INT64_MAX), e.set_previous_hash(hash); });
  Refused(
      Sound(), [&](v1::Entry& e) { e.set_device_seq(0), e.set_previous_hash(hash); },
      "a running number from 1");
  Refused(
      Sound(),
      [&](v1::Entry& e) { e.set_device_seq(uint64_t{INT64_MAX} + 1), e.set_previous_hash(hash); },
      "within 63 bits");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_device_seq(2); }, "the previous hash");
  Refused(
      Sound(), [&](v1::Entry& e) { e.set_previous_hash(hash); }, "the previous hash");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_device_seq(2), e.set_previous_hash("short"); },
      "a previous hash of 32 bytes");
}

TEST(EnvelopeTest, Times) {
  Fine(Sound(),
       [](v1::Entry& e) { e.set_effective_at_us(kMinTimeUs), e.set_written_at_us(kMaxTimeUs); });
  Fine(Sound(),
       [](v1::Entry& e) { e.set_effective_at_us(kMaxTimeUs), e.set_written_at_us(kMinTimeUs); });
  Refused(
      Sound(), [](v1::Entry& e) { e.set_effective_at_us(kMinTimeUs - 1); },
      "a time between 1900 and 2200");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_effective_at_us(kMaxTimeUs + 1); },
      "a time between 1900 and 2200");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_written_at_us(kMinTimeUs - 1); }, "a time of writing");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_written_at_us(kMaxTimeUs + 1); }, "a time of writing");
  Fine(Sound(), [](v1::Entry& e) { e.set_utc_offset_min(-1080); });
  Fine(Sound(), [](v1::Entry& e) { e.set_utc_offset_min(1080); });
  Refused(
      Sound(), [](v1::Entry& e) { e.set_utc_offset_min(-1081); }, "a UTC offset");
  Refused(
      Sound(), [](v1::Entry& e) { e.set_utc_offset_min(1081); }, "a UTC offset");
}

TEST(EnvelopeTest, Amendments) {
  Fine(Amending(), [](v1::Entry&) {});
  Refused(
      Amending(), [](v1::Entry& e) { e.mutable_amendment()->clear_target_id(); },
      "the amended entry");
  Refused(
      Amending(), [](v1::Entry& e) { e.mutable_amendment()->set_target_id(e.entry_id()); },
      "other than itself");
  Refused(
      Amending(), [](v1::Entry& e) { e.mutable_amendment()->clear_place_device_id(); },
      "the amended place's device");
  Refused(
      Amending(), [](v1::Entry& e) { e.mutable_amendment()->set_place_device_seq(0); },
      "the amended place's running number");
  Refused(
      Amending(),
      [](v1::Entry& e) { e.mutable_amendment()->set_place_device_seq(uint64_t{INT64_MAX} + 1); },
      "the amended place's running number");
}

TEST(EnvelopeTest, WhatIsNewerIsKept) {
  Refused(
      Sound(), [](v1::Entry& e) { e.set_format_version(0); }, "a format version");
  v1::Entry newer = Sound();
  newer.set_format_version(kFormatVersion + 1);
  EXPECT_EQ(ParseEntry(newer.SerializeAsString()).status().code(),
            absl::StatusCode::kUnimplemented);
  // Nothing is said of a body that a newer format may read otherwise.
  newer.mutable_gauging()->set_volume_ul(-1);
  EXPECT_EQ(CheckEntry(newer).code(), absl::StatusCode::kUnimplemented);
  // But an envelope that is broken is broken in every format.
  newer.clear_device_id();
  EXPECT_EQ(CheckEntry(newer).code(), absl::StatusCode::kInvalidArgument);
  v1::Entry unknown = Sound();
  unknown.clear_body();
  EXPECT_EQ(CheckEntry(unknown).code(), absl::StatusCode::kUnimplemented);
}

TEST(ParseTest, Garbage) {
  const auto code = [](absl::string_view bytes) { return ParseEntry(bytes).status().code(); };
  EXPECT_EQ(code(""), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code("\xff\xff\xff\xff"), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code("the cellar book"), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(code(std::string(kMaxEntryBytes, '\0')), absl::StatusCode::kInvalidArgument);
  const std::string sound = Sound().SerializeAsString();
  for (size_t length = 0; length < sound.size(); ++length) {
    EXPECT_FALSE(ParseEntry(absl::string_view(sound).substr(0, length)).ok()) << length;
  }
  // Text that is no UTF-8.
  v1::Entry broken = Sound();
  broken.set_note("\xc3\x28");
  EXPECT_EQ(code(broken.SerializePartialAsString()), absl::StatusCode::kInvalidArgument);
}

TEST(ParseTest, AtMost64KiB) {
  v1::Entry entry = Sound();
  entry.set_note(std::string(kMaxEntryBytes - entry.ByteSizeLong() - 4, 'n'));
  ASSERT_EQ(entry.ByteSizeLong(), kMaxEntryBytes);
  EXPECT_TRUE(ParseEntry(entry.SerializeAsString()).ok());
  entry.mutable_note()->push_back('n');
  EXPECT_EQ(ParseEntry(entry.SerializeAsString()).status().code(),
            absl::StatusCode::kInvalidArgument);
}

TEST(ParseTest, KeepsWhatItDoesNotKnowInAKnownKind) {
  v1::Entry entry = Sound();
  entry.GetReflection()->MutableUnknownFields(&entry)->AddVarint(99, 7);
  EXPECT_TRUE(ParseEntry(entry.SerializeAsString()).ok());
}

TEST(KindTest, IsTheFieldsName) {
  EXPECT_EQ(KindName(Sound()), "gauging");
  EXPECT_EQ(KindName(v1::Entry()), "unknown");
}

// The hash of a leaf without content, as the transparency logs' published test data has it (leaf of
// the one-entry tree whose entry is empty), and SHA-256 of 0x00 'a', worked out with
// `printf '\0a' | sha256sum`.
TEST(LeafHashTest, PublishedValue) {
  Sha256 sha;
  const auto hex = [](const Hash& hash) { return absl::BytesToHexString(HashBytes(hash)); };
  EXPECT_EQ(hex(LeafHash(sha, "")),
            "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d");
  EXPECT_EQ(hex(LeafHash(sha, "a")),
            "022a6979e6dab7aa5ae4c3e5e45f7e977112a7e63593820dbec1ec738a24f93c");
}

TEST(WriterTest, MakesAChain) {
  const Writer writer{IdOf("cellar"), IdOf("member"), IdOf("device")};
  ChainHead head;
  const auto first = WriteEntry(writer, IdOf("first"), draft::Gauging("C1", 1), head);
  ASSERT_TRUE(first.ok()) << first.status();
  EXPECT_EQ(first->entry.device_seq(), 1);
  EXPECT_EQ(first->entry.previous_hash(), "");
  Sha256 sha;
  EXPECT_EQ(first->hash, LeafHash(sha, first->bytes));
  EXPECT_EQ(head.hash, first->hash);
  const auto second = WriteEntry(writer, IdOf("second"), draft::Gauging("C1", 2), head);
  ASSERT_TRUE(second.ok());
  EXPECT_EQ(second->entry.device_seq(), 2);
  EXPECT_EQ(second->entry.previous_hash(), HashBytes(first->hash));
  EXPECT_EQ(ParseEntry(second->bytes)->SerializeAsString(), second->bytes);
  EXPECT_EQ(second->entry.author_id(), writer.member_id.bytes());
}

TEST(WriterTest, WhatIsRefusedLeavesTheChainAsItWas) {
  const Writer writer{IdOf("cellar"), IdOf("member"), IdOf("device")};
  ChainHead head;
  ASSERT_TRUE(WriteEntry(writer, IdOf("first"), draft::Gauging("C1", 1), head).ok());
  const ChainHead before = head;
  const auto refused = WriteEntry(writer, IdOf("second"), draft::Gauging("C1", -1), head);
  EXPECT_EQ(refused.status().code(), absl::StatusCode::kInvalidArgument);
  v1::Entry long_note = draft::Gauging("C1", 1);
  long_note.set_note(std::string(kMaxEntryBytes, 'n'));
  EXPECT_EQ(WriteEntry(writer, IdOf("third"), long_note, head).status().code(),
            absl::StatusCode::kInvalidArgument);
  v1::Entry latin1 = draft::Gauging("C1", 1);
  latin1.set_note("\xe4");
  EXPECT_EQ(WriteEntry(writer, IdOf("fourth"), latin1, head).status().code(),
            absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(head.device_seq, before.device_seq);
  EXPECT_EQ(head.hash, before.hash);
}

}  // namespace
}  // namespace rundlet
