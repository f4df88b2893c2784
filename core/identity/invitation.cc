#include "core/identity/invitation.h"

#include <algorithm>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "rundlet/v1/identity.pb.h"

namespace rundlet {
namespace {

constexpr absl::string_view kPrefix = "rdi1.";
constexpr absl::string_view kFamily = "rdi";
constexpr size_t kCheckBytes = 4;

std::string CheckOf(absl::string_view content) {
  Sha256 sha;
  sha.Update(content);
  return std::string(HashBytes(sha.Finish()).substr(0, kCheckBytes));
}

absl::Status Damaged() {
  return absl::InvalidArgumentError(
      "this is not all of an invitation, or not as it was made: copy the whole line, from 'rdi1.' "
      "to its end");
}

absl::StatusOr<Invitation> FromContent(const v1::InvitationContent& content) {
  const auto cellar_id = Uuid::FromBytes(content.cellar_id());
  auto key = evidence::SigningKey::FromSeed(content.secret());
  const auto role = RoleFrom(content.role());
  if (!cellar_id.ok() || !key.ok() || !role.ok() || content.server().empty()) return Damaged();
  Invitation invitation{.server = content.server(),
                        .cellar_id = *cellar_id,
                        .key = *std::move(key),
                        .role = *role,
                        .expires_at_us = content.expires_at_us()};
  if (content.plain_text()) {
    invitation.known = Invitation::Known::kPlainText;
  } else if (content.fingerprint().empty()) {
    invitation.known = Invitation::Known::kByAuthority;
  } else if (content.fingerprint().size() == invitation.fingerprint.size()) {
    std::copy(content.fingerprint().begin(), content.fingerprint().end(),
              invitation.fingerprint.begin());
  } else {
    return Damaged();
  }
  return invitation;
}

}  // namespace

std::string FormatInvitation(const Invitation& invitation, absl::string_view seed) {
  v1::InvitationContent content;
  content.set_server(invitation.server);
  content.set_cellar_id(invitation.cellar_id.ToBytes());
  content.set_secret(seed.data(), seed.size());
  content.set_role(ToProto(invitation.role));
  content.set_expires_at_us(invitation.expires_at_us);
  content.set_plain_text(invitation.known == Invitation::Known::kPlainText);
  if (invitation.known == Invitation::Known::kByFingerprint)
    content.set_fingerprint(std::string(HashBytes(invitation.fingerprint)));
  const std::string bytes = content.SerializeAsString();
  return absl::StrCat(kPrefix, absl::WebSafeBase64Escape(absl::StrCat(bytes, CheckOf(bytes))));
}

absl::StatusOr<Invitation> ParseInvitation(absl::string_view text) {
  std::string line(text);
  line.erase(std::remove_if(line.begin(), line.end(),
                            [](unsigned char c) { return absl::ascii_isspace(c); }),
             line.end());
  if (!absl::StartsWith(line, kFamily)) {
    return absl::InvalidArgumentError(
        "this is no invitation, which begins with 'rdi1.': a cellar master makes one with: rundlet "
        "invite NAME");
  }
  if (!absl::StartsWith(line, kPrefix)) {
    return absl::InvalidArgumentError(
        "this invitation is of a newer Rundlet than the one here: upgrade, then join");
  }
  std::string bytes;
  if (!absl::WebSafeBase64Unescape(line.substr(kPrefix.size()), &bytes) ||
      bytes.size() <= kCheckBytes)
    return Damaged();
  const absl::string_view all = bytes;
  const absl::string_view content_bytes = all.substr(0, all.size() - kCheckBytes);
  v1::InvitationContent content;
  if (CheckOf(content_bytes) != all.substr(content_bytes.size()) ||
      !content.ParseFromArray(content_bytes.data(), static_cast<int>(content_bytes.size())))
    return Damaged();
  return FromContent(content);
}

}  // namespace rundlet
