#ifndef RUNDLET_SERVER_RANDOM_H_
#define RUNDLET_SERVER_RANDOM_H_

#include <cstdint>

#include "absl/types/span.h"

namespace rundlet::server {

// Fills with random bytes fit for secrets, from OpenSSL. Ends the program where the system has none
// to give: there is nothing that it could do safely without.
void FillRandom(absl::Span<uint8_t> bytes);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_RANDOM_H_
