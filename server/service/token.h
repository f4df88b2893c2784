#ifndef RUNDLET_SERVER_SERVICE_TOKEN_H_
#define RUNDLET_SERVER_SERVICE_TOKEN_H_

#include <array>
#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"

namespace rundlet::server {

// A device's token: "rdl1." and 86 characters of base64url (RFC 4648, section 5, without padding)
// of 64 bytes: the cellar's id, the device's id, and 32 random bytes. It names where it is to be
// looked up, so that one lookup inside one cellar finds it. The server keeps its SHA-256 only.
inline constexpr absl::string_view kTokenPrefix = "rdl1.";
using TokenSecret = std::array<uint8_t, 32>;

struct TokenOwner {
  Uuid cellar_id;
  Uuid device_id;
};

std::string FormatToken(const TokenOwner& owner, const TokenSecret& secret);

// Whose token it would be, if it is good. TOKEN_MALFORMED for what FormatToken would not write.
absl::StatusOr<TokenOwner> ParseToken(absl::string_view token);

// SHA-256 of the token's text.
Hash HashToken(absl::string_view token);

// Takes as long for any two hashes.
bool EqualHashes(const Hash& a, const Hash& b);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_TOKEN_H_
