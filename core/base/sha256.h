#ifndef RUNDLET_CORE_BASE_SHA256_H_
#define RUNDLET_CORE_BASE_SHA256_H_

#include <array>
#include <cstdint>
#include <memory>
#include <string>

#include "absl/strings/string_view.h"

namespace rundlet {

// A SHA-256 value (FIPS 180-4).
using Hash = std::array<uint8_t, 32>;

inline absl::string_view HashBytes(const Hash& hash) {
  return absl::string_view(reinterpret_cast<const char*>(hash.data()), hash.size());
}

// Incremental SHA-256. Keep one and reuse it: making the context costs as much as hashing a short
// entry. Not safe to share between threads.
class Sha256 {
 public:
  Sha256();
  ~Sha256();
  Sha256(Sha256&&) noexcept;
  Sha256& operator=(Sha256&&) noexcept;

  void Update(absl::string_view bytes);
  // The hash of all that was given since the last Finish (or the start), and begins anew.
  Hash Finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_BASE_SHA256_H_
