#include "core/evidence/signing_key.h"

#include <openssl/crypto.h>
#include <openssl/evp.h>

#include <cstring>
#include <memory>

namespace rundlet::evidence {
namespace {

template <auto free>
struct FreeBy {
  template <typename T>
  void operator()(T* object) const {
    free(object);
  }
};
using Key = std::unique_ptr<EVP_PKEY, FreeBy<EVP_PKEY_free>>;
using Context = std::unique_ptr<EVP_MD_CTX, FreeBy<EVP_MD_CTX_free>>;

const uint8_t* Data(absl::string_view bytes) {
  return reinterpret_cast<const uint8_t*>(bytes.data());
}

Key PrivateOf(const uint8_t* seed, size_t size) {
  return Key(EVP_PKEY_new_raw_private_key(EVP_PKEY_ED25519, nullptr, seed, size));
}

}  // namespace

absl::StatusOr<PublicKey> PublicKey::FromBytes(absl::string_view bytes) {
  if (bytes.size() != kSize) return absl::InvalidArgumentError("a public key has 32 bytes");
  PublicKey key;
  std::memcpy(key.bytes_.data(), bytes.data(), kSize);
  return key;
}

bool PublicKey::Verify(absl::string_view message, absl::string_view signature) const {
  const Key key(
      EVP_PKEY_new_raw_public_key(EVP_PKEY_ED25519, nullptr, bytes_.data(), bytes_.size()));
  const Context context(EVP_MD_CTX_new());
  return key != nullptr && context != nullptr &&
         EVP_DigestVerifyInit(context.get(), nullptr, nullptr, nullptr, key.get()) == 1 &&
         EVP_DigestVerify(context.get(), Data(signature), signature.size(), Data(message),
                          message.size()) == 1;
}

absl::StatusOr<SigningKey> SigningKey::FromSeed(absl::string_view seed) {
  if (seed.size() != kSeedSize) return absl::InvalidArgumentError("a signing key has 32 bytes");
  SigningKey signing;
  std::memcpy(signing.seed_.data(), seed.data(), kSeedSize);
  const Key key = PrivateOf(signing.seed_.data(), kSeedSize);
  std::string bytes(PublicKey::kSize, '\0');
  size_t size = bytes.size();
  if (key == nullptr ||
      EVP_PKEY_get_raw_public_key(key.get(), reinterpret_cast<uint8_t*>(bytes.data()), &size) != 1)
    return absl::InternalError("the cryptographic library makes no key of these bytes");
  auto made = PublicKey::FromBytes(bytes);
  if (!made.ok()) return made.status();
  signing.public_key_ = *made;
  return signing;
}

SigningKey::~SigningKey() { OPENSSL_cleanse(seed_.data(), seed_.size()); }

absl::StatusOr<std::string> SigningKey::Sign(absl::string_view message) const {
  const Key key = PrivateOf(seed_.data(), seed_.size());
  const Context context(EVP_MD_CTX_new());
  std::string signature(kSignatureSize, '\0');
  size_t size = signature.size();
  if (key == nullptr || context == nullptr ||
      EVP_DigestSignInit(context.get(), nullptr, nullptr, nullptr, key.get()) != 1 ||
      EVP_DigestSign(context.get(), reinterpret_cast<uint8_t*>(signature.data()), &size,
                     Data(message), message.size()) != 1)
    return absl::InternalError("the cryptographic library cannot sign");
  return signature;
}

}  // namespace rundlet::evidence
