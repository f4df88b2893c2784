#include "core/evidence/checkpoint.h"

#include <algorithm>
#include <cstring>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"

namespace rundlet::evidence {
namespace {

constexpr absl::string_view kOrigin = "rundlet/";
constexpr absl::string_view kSigner = "rundletd";
constexpr absl::string_view kDash = "\xe2\x80\x94 ";  // an em dash and a space
constexpr char kEd25519 = 1;                          // the algorithm's byte
constexpr size_t kKeyIdSize = 4;

// Four bytes that tell keys apart: of SHA-256 over name, line break, algorithm and key.
std::string KeyId(const PublicKey& key) {
  Sha256 sha;
  sha.Update(absl::StrCat(kSigner, "\n", absl::string_view(&kEd25519, 1), key.bytes()));
  return std::string(HashBytes(sha.Finish()).substr(0, kKeyIdSize));
}

// Only what encoding gives: the library's reader passes over spaces and loose ends.
bool FromBase64(absl::string_view text, std::string* bytes) {
  return absl::Base64Unescape(text, bytes) && absl::Base64Escape(*bytes) == text;
}

absl::Status NoNote() { return absl::InvalidArgumentError("this is no checkpoint of a journal"); }

absl::StatusOr<Checkpoint> ReadText(absl::string_view text) {
  const std::vector<absl::string_view> lines = absl::StrSplit(text, '\n');
  // Lines after the third may say more; the last is empty, as each ends with a line break.
  if (lines.size() < 4) return NoNote();
  absl::string_view origin = lines[0];
  if (!absl::ConsumePrefix(&origin, kOrigin)) return NoNote();
  const auto cellar = Uuid::Parse(origin);
  Checkpoint checkpoint;
  std::string root;
  if (!cellar.ok() || !absl::SimpleAtoi(lines[1], &checkpoint.size) ||
      absl::StrCat(checkpoint.size) != lines[1] || !FromBase64(lines[2], &root) ||
      root.size() != checkpoint.root.size())
    return NoNote();
  checkpoint.cellar_id = *cellar;
  std::memcpy(checkpoint.root.data(), root.data(), root.size());
  return checkpoint;
}

// Whether one of the signature lines is good, by this key.
bool IsSigned(absl::string_view text, absl::string_view signatures, const PublicKey& key) {
  for (absl::string_view line : absl::StrSplit(signatures, '\n')) {
    std::string blob;
    if (!absl::ConsumePrefix(&line, kDash) ||
        !absl::ConsumePrefix(&line, absl::StrCat(kSigner, " ")) || !FromBase64(line, &blob) ||
        blob.size() < kKeyIdSize || blob.substr(0, kKeyIdSize) != KeyId(key))
      continue;
    if (key.Verify(text, blob.substr(kKeyIdSize))) return true;
  }
  return false;
}

}  // namespace

absl::StatusOr<std::string> SignCheckpoint(const Checkpoint& checkpoint, const SigningKey& key) {
  const std::string text =
      absl::StrCat(kOrigin, checkpoint.cellar_id.ToString(), "\n", checkpoint.size, "\n",
                   absl::Base64Escape(HashBytes(checkpoint.root)), "\n");
  const auto signature = key.Sign(text);
  if (!signature.ok()) return signature.status();
  return absl::StrCat(text, "\n", kDash, kSigner, " ",
                      absl::Base64Escape(absl::StrCat(KeyId(key.public_key()), *signature)), "\n");
}

absl::StatusOr<Checkpoint> OpenCheckpoint(absl::string_view note, const PublicKey& key) {
  const size_t gap = note.rfind("\n\n");
  if (gap == absl::string_view::npos) return NoNote();
  const absl::string_view text = note.substr(0, gap + 1);  // with its last line break
  const auto checkpoint = ReadText(text);
  if (!checkpoint.ok()) return checkpoint;
  if (!IsSigned(text, note.substr(gap + 2), key))
    return absl::FailedPreconditionError(
        "the checkpoint is not signed by the key that this server had before");
  return checkpoint;
}

std::string PrintKey(const PublicKey& key) {
  return absl::StrCat(
      kSigner, "+", absl::BytesToHexString(KeyId(key)), "+",
      absl::Base64Escape(absl::StrCat(absl::string_view(&kEd25519, 1), key.bytes())));
}

absl::StatusOr<PublicKey> ReadKey(absl::string_view text) {
  const absl::Status wrong = absl::InvalidArgumentError("this is no key of a server");
  // Base64 may hold a plus sign as well.
  const std::vector<absl::string_view> parts = absl::StrSplit(text, absl::MaxSplits('+', 2));
  std::string blob;
  if (parts.size() != 3 || parts[0] != kSigner || !FromBase64(parts[2], &blob) || blob.empty() ||
      blob[0] != kEd25519)
    return wrong;
  const auto key = PublicKey::FromBytes(absl::string_view(blob).substr(1));
  if (!key.ok() || absl::BytesToHexString(KeyId(*key)) != parts[1]) return wrong;
  return key;
}

}  // namespace rundlet::evidence
