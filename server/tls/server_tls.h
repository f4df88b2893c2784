#ifndef RUNDLET_SERVER_TLS_SERVER_TLS_H_
#define RUNDLET_SERVER_TLS_SERVER_TLS_H_

#include <grpcpp/channel.h>
#include <grpcpp/security/server_credentials.h>

#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "core/identity/invitation.h"
#include "server/tls/certificate.h"

namespace rundlet::server {

// By what a server proves who it is, and how those who are invited know it again.
struct ServerTls {
  std::string certificate_pem;  // with those that vouch for it, if any; empty: no TLS
  std::string key_pem;          // a secret
  Hash fingerprint = {};
  Invitation::Known known = Invitation::Known::kPlainText;

  bool plain_text() const { return certificate_pem.empty(); }
};

struct TlsOptions {
  std::string data_dir;          // tls.key and tls.crt are there, made where there are none
  std::string certificate_file;  // or these two instead
  std::string key_file;
  bool plain_text = false;
  std::string listen;  // whose host a certificate that is made names, too
};

// FailedPrecondition: others can read the key, or the files do not fit each other; InvalidArgument:
// one of the two files is given without the other, or holds something else; NotFound: a given file
// is not there. The text says what to do.
absl::StatusOr<ServerTls> LoadOrMakeTls(const TlsOptions& options, absl::Time now);

// TLS 1.2 or newer; insecure ones for plain text.
std::shared_ptr<grpc::ServerCredentials> CredentialsToServe(const ServerTls& tls);

// A channel to a server that is known by its own certificate, whatever the address and whoever
// vouches for it; without a certificate, in plain text. InvalidArgument: it is no certificate, or
// has no name.
absl::StatusOr<std::shared_ptr<grpc::Channel>> ChannelToKnown(const std::string& address,
                                                              absl::string_view certificate_pem);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TLS_SERVER_TLS_H_
