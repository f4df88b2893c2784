#include "server/service/token.h"

#include <openssl/crypto.h>

#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "server/errors.h"

namespace rundlet::server {
namespace {

constexpr size_t kPayloadBytes = 2 * Uuid::kSize + std::tuple_size_v<TokenSecret>;
static_assert(kPayloadBytes == 64);

// Without padding, as WebSafeBase64Escape writes it.
std::string Encode(absl::string_view payload) {
  return absl::StrCat(kTokenPrefix, absl::WebSafeBase64Escape(payload));
}

}  // namespace

std::string FormatToken(const TokenOwner& owner, const TokenSecret& secret) {
  return Encode(
      absl::StrCat(owner.cellar_id.bytes(), owner.device_id.bytes(),
                   absl::string_view(reinterpret_cast<const char*>(secret.data()), secret.size())));
}

absl::StatusOr<TokenOwner> ParseToken(absl::string_view token) {
  std::string payload;
  // Decoders are lenient; comparing with what it should be leaves one spelling.
  if (!absl::StartsWith(token, kTokenPrefix) ||
      !absl::WebSafeBase64Unescape(token.substr(kTokenPrefix.size()), &payload) ||
      payload.size() != kPayloadBytes || Encode(payload) != token) {
    return MakeError(Error::kTokenMalformed);
  }
  const absl::string_view bytes(payload);
  const absl::StatusOr<Uuid> cellar_id = Uuid::FromBytes(bytes.substr(0, Uuid::kSize));
  const absl::StatusOr<Uuid> device_id = Uuid::FromBytes(bytes.substr(Uuid::kSize, Uuid::kSize));
  if (!cellar_id.ok() || !device_id.ok()) return MakeError(Error::kTokenMalformed);
  return TokenOwner{*cellar_id, *device_id};
}

Hash HashToken(absl::string_view token) {
  Sha256 sha;
  sha.Update(token);
  return sha.Finish();
}

bool EqualHashes(const Hash& a, const Hash& b) {
  return CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace rundlet::server
