#include "server/random.h"

#include <openssl/rand.h>

#include <cstdlib>
#include <iostream>

namespace rundlet::server {

void FillRandom(absl::Span<uint8_t> bytes) {
  if (RAND_bytes(bytes.data(), static_cast<int>(bytes.size())) == 1) return;
  std::cerr << "error: the system has no random numbers to give\n";
  std::abort();
}

}  // namespace rundlet::server
