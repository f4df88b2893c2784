#include "core/base/sha256.h"

#include <openssl/evp.h>

#include <cstdio>
#include <cstdlib>

namespace rundlet {
namespace {

// Hashing memory cannot fail for a reason that a caller could mend; going on with a wrong hash
// would be worse.
void MustSucceed(int ok) {
  if (ok == 1) return;
  std::fputs("SHA-256 is not available from the cryptographic library\n", stderr);
  std::abort();
}

}  // namespace

struct Sha256::State {
  State() : algorithm(EVP_MD_fetch(nullptr, "SHA256", nullptr)), context(EVP_MD_CTX_new()) {
    MustSucceed(algorithm != nullptr && context != nullptr);
    MustSucceed(EVP_DigestInit_ex2(context, algorithm, nullptr));
  }
  ~State() {
    EVP_MD_CTX_free(context);
    EVP_MD_free(algorithm);
  }
  State(const State&) = delete;
  State& operator=(const State&) = delete;

  EVP_MD* algorithm;
  EVP_MD_CTX* context;
};

Sha256::Sha256() : state_(std::make_unique<State>()) {}
Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::Update(absl::string_view bytes) {
  MustSucceed(EVP_DigestUpdate(state_->context, bytes.data(), bytes.size()));
}

Hash Sha256::Finish() {
  Hash hash;
  unsigned int size = 0;
  MustSucceed(EVP_DigestFinal_ex(state_->context, hash.data(), &size));
  MustSucceed(EVP_DigestInit_ex2(state_->context, state_->algorithm, nullptr));
  return hash;
}

}  // namespace rundlet
