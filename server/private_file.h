#ifndef RUNDLET_SERVER_PRIVATE_FILE_H_
#define RUNDLET_SERVER_PRIVATE_FILE_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// Files that hold secrets: their owner alone may read them (0600), and each is whole or not there.

// Writes a file that is not there yet, and its directory; it is on disk when this returns. Where
// there is one already, that one stays: of two servers that start at once, the second takes the
// first's.
absl::Status WriteOnce(const std::string& path, absl::string_view text);

// Writes a file anew, under another name first, so that whoever reads it finds it whole. Others may
// read it if `shared`.
absl::Status Replace(const std::string& path, absl::string_view text, bool shared = false);

// NotFound: there is none. FailedPrecondition: others can read it; `danger` says what they could do
// with it: "signs as this server".
absl::StatusOr<std::string> ReadPrivate(const std::string& path, absl::string_view danger);

// A file that is no secret. NotFound: there is none. PermissionDenied: it cannot be read.
absl::StatusOr<std::string> ReadShared(const std::string& path);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PRIVATE_FILE_H_
