#ifndef RUNDLET_SERVER_SIGNING_KEY_FILE_H_
#define RUNDLET_SERVER_SIGNING_KEY_FILE_H_

#include <functional>
#include <string>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/evidence/signing_key.h"

namespace rundlet::server {

// The key by which a server signs what it says of its journals, in a file that its owner alone can
// read (0600). Where there is none, one is made. Servers that share a database share the file.
//
// FailedPrecondition: others can read it; DataLoss: it holds no key; the text says what to do.
absl::StatusOr<evidence::SigningKey> LoadOrMakeSigningKey(
    const std::string& path, const std::function<void(absl::Span<uint8_t>)>& random);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SIGNING_KEY_FILE_H_
