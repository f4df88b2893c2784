#ifndef RUNDLET_CLIENT_SYNC_CERTIFICATE_H_
#define RUNDLET_CLIENT_SYNC_CERTIFICATE_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "client/store/server_trust.h"

namespace rundlet::client {

// The certificate that a server shows, as PEM. A TLS handshake is made and nothing else: what comes
// back is vouched for by nobody, and nothing was said of who we are.
//
// Unavailable: nobody answers there, or not by TLS. InvalidArgument: it is no address.
absl::StatusOr<std::string> FetchCertificate(const std::string& server, absl::Time deadline);

// The name under which gRPC is to check a pinned certificate: one of those that it holds.
// InvalidArgument: it holds none.
absl::StatusOr<std::string> NameInCertificate(const std::string& pem);

// FailedPrecondition, with both fingerprints and the way out, where a server shows another
// certificate than the pinned one; OK where that cannot be seen, or is not so.
absl::Status CompareCertificates(const std::string& server, const ServerTrust& trust,
                                 absl::Time deadline);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_CERTIFICATE_H_
