#ifndef RUNDLET_CORE_IDENTITY_INVITATION_H_
#define RUNDLET_CORE_IDENTITY_INVITATION_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"
#include "core/rights/rights.h"

namespace rundlet {

// An invitation as it goes from hand to hand: where the server is and how to know it, which cellar,
// and the secret half of the key that lets one device in. Whoever has it may come in, once, until
// it expires: it goes to the one invited and is kept nowhere.
struct Invitation {
  std::string server;  // HOST:PORT
  Uuid cellar_id;
  evidence::SigningKey key;
  MemberRole role = MemberRole::kHand;
  int64_t expires_at_us = 0;
  // How the server is known: by its certificate's SHA-256; by the system's authorities; or not at
  // all, where it is this machine.
  enum class Known { kByFingerprint, kByAuthority, kPlainText };
  Known known = Known::kByFingerprint;
  Hash fingerprint = {};
};

// One line: "rdi1." and base64url (RFC 4648, section 5, without padding) of v1.InvitationContent
// and the first four bytes of its SHA-256.
//
// `seed` is the one that the key was made from.
std::string FormatInvitation(const Invitation& invitation, absl::string_view seed);

// Spaces and line breaks within it, as mail programs put them, are left out. InvalidArgument says
// what to do: it is no invitation, or not all of one, or of a newer Rundlet.
absl::StatusOr<Invitation> ParseInvitation(absl::string_view text);

}  // namespace rundlet

#endif  // RUNDLET_CORE_IDENTITY_INVITATION_H_
