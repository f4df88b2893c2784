#ifndef RUNDLET_SERVER_TLS_CERTIFICATE_H_
#define RUNDLET_SERVER_TLS_CERTIFICATE_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"

namespace rundlet::server {

// X.509 certificates (RFC 5280) by OpenSSL, as text in PEM (RFC 7468).

// The name that every self-signed certificate of a server has: clients that know it by its
// fingerprint expect no other, wherever the server is.
inline constexpr absl::string_view kServerName = "rundletd";

struct CertificateFacts {
  Hash fingerprint = {};               // SHA-256 of its DER
  bool self_signed = false;            // else some authority vouches for it
  std::vector<std::string> dns_names;  // subjectAltName
};

// Of the first certificate in the text. InvalidArgument: there is none.
absl::StatusOr<CertificateFacts> ReadCertificate(absl::string_view pem);

// A new private key, EC P-256 (PKCS #8). Internal: the library failed; so for the next.
absl::StatusOr<std::string> MakeKey();

// A certificate for the key, signed by itself, good from a day before `now` for thirty years.
// `names` are DNS names and IP addresses; kServerName is always among them.
absl::StatusOr<std::string> MakeCertificate(absl::string_view key_pem,
                                            absl::Span<const std::string> names, absl::Time now);

// InvalidArgument unless the key is the one of the certificate.
absl::Status CheckKeyFits(absl::string_view certificate_pem, absl::string_view key_pem);

// "AB:CD:...", as `openssl x509 -fingerprint -sha256` writes it.
std::string PrintFingerprint(const Hash& fingerprint);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TLS_CERTIFICATE_H_
