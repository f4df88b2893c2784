#include "client/sync/channel.h"

#include <grpcpp/grpcpp.h>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "client/sync/certificate.h"

namespace rundlet::client {
namespace {

constexpr int kMaxMessageBytes = 64 << 20;

}  // namespace

bool IsLoopback(absl::string_view server) {
  if (absl::StartsWith(server, "unix:")) return true;
  absl::ConsumePrefix(&server, "dns:///");
  const absl::string_view host = server.substr(0, server.rfind(':'));
  return host == "localhost" || host == "[::1]" ||
         (absl::StartsWith(host, "127.") &&
          host.find_first_not_of("0123456789.") == absl::string_view::npos);
}

absl::StatusOr<std::shared_ptr<grpc::Channel>> OpenChannel(const std::string& server,
                                                           const ServerTrust& trust) {
  if (!absl::StrContains(server, ':')) {
    return absl::InvalidArgumentError(
        absl::StrCat("'", server, "' is no address: write HOST:PORT, such as cellar.example:7117"));
  }
  grpc::ChannelArguments arguments;
  arguments.SetMaxReceiveMessageSize(kMaxMessageBytes);
  // The token goes to the server and nowhere else.
  arguments.SetInt(GRPC_ARG_ENABLE_HTTP_PROXY, 0);
  if (trust.kind == ServerTrust::Kind::kPlainText) {
    if (!IsLoopback(server)) {
      return absl::InvalidArgumentError(absl::StrCat(
          "'", server,
          "' is another machine, and everything would go there unencrypted: ask for "
          "an invitation by a server with a certificate, which is what rundletd has unless it is "
          "told otherwise"));
    }
    return grpc::CreateCustomChannel(server, grpc::InsecureChannelCredentials(), arguments);
  }
  grpc::SslCredentialsOptions options;  // without roots: those of the system
  if (trust.kind == ServerTrust::Kind::kPinned) {
    const auto name = NameInCertificate(trust.pem);
    if (!name.ok()) return name.status();
    options.pem_root_certs = trust.pem;
    // The certificate itself says that it is the one; what the machine is called matters no more.
    arguments.SetSslTargetNameOverride(*name);
  }
  return grpc::CreateCustomChannel(server, grpc::SslCredentials(options), arguments);
}

}  // namespace rundlet::client
