#ifndef RUNDLET_CLIENT_STORE_SERVER_TRUST_H_
#define RUNDLET_CLIENT_STORE_SERVER_TRUST_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/store/store_home.h"
#include "core/base/sha256.h"

namespace rundlet::client {

// How a device knows that a server is the one that it means.
struct ServerTrust {
  enum class Kind {
    kPinned,     // by its certificate itself
    kAuthority,  // by a certificate for its name from an authority that this system trusts
    kPlainText,  // not at all, without TLS: the server is on this machine
  };
  Kind kind = Kind::kPinned;
  std::string pem;  // kPinned: the certificate
};

// It is kept in the home's server.crt: the certificate, or one word in its place. NotFound: this
// home has no server. DataLoss: the file is no such thing; the text says what to do.
absl::StatusOr<ServerTrust> ReadServerTrust(const StoreHome& home);
// The old file is there whole or the new one is.
absl::Status WriteServerTrust(const StoreHome& home, const ServerTrust& trust);

// The SHA-256 of a certificate's DER. InvalidArgument: the text is no PEM certificate.
absl::StatusOr<Hash> FingerprintOf(absl::string_view pem);

// "4F:0A:...", as rundletd prints it; read with or without the colons, in any case.
std::string FormatFingerprint(const Hash& fingerprint);
// InvalidArgument: it is none.
absl::StatusOr<Hash> ParseFingerprint(absl::string_view text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_SERVER_TRUST_H_
