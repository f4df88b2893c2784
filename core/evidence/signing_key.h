#ifndef RUNDLET_CORE_EVIDENCE_SIGNING_KEY_H_
#define RUNDLET_CORE_EVIDENCE_SIGNING_KEY_H_

#include <array>
#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::evidence {

// Ed25519 (RFC 8032), by OpenSSL: who signs, and who checks. Both are values that may be shared
// between threads.

class PublicKey {
 public:
  static constexpr size_t kSize = 32;

  // InvalidArgument unless there are 32 bytes.
  static absl::StatusOr<PublicKey> FromBytes(absl::string_view bytes);

  bool Verify(absl::string_view message, absl::string_view signature) const;
  absl::string_view bytes() const {
    return absl::string_view(reinterpret_cast<const char*>(bytes_.data()), bytes_.size());
  }
  friend bool operator==(const PublicKey&, const PublicKey&) = default;

 private:
  std::array<uint8_t, kSize> bytes_ = {};
};

// The secret half. Its bytes go to where they are kept and nowhere else, and are wiped at the end.
class SigningKey {
 public:
  static constexpr size_t kSeedSize = 32;
  static constexpr size_t kSignatureSize = 64;

  // From 32 random bytes, the seed of RFC 8032. InvalidArgument unless there are so many.
  static absl::StatusOr<SigningKey> FromSeed(absl::string_view seed);

  ~SigningKey();
  SigningKey(const SigningKey&) = default;
  SigningKey& operator=(const SigningKey&) = default;

  const PublicKey& public_key() const { return public_key_; }
  // Internal: the library failed.
  absl::StatusOr<std::string> Sign(absl::string_view message) const;

 private:
  SigningKey() = default;

  std::array<uint8_t, kSeedSize> seed_ = {};
  PublicKey public_key_;
};

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_SIGNING_KEY_H_
