#include "server/tls/server_tls.h"

#include <grpcpp/create_channel.h>
#include <grpcpp/security/credentials.h>
#include <grpcpp/support/channel_arguments.h>
#include <unistd.h>

#include <array>
#include <vector>

#include "absl/strings/str_cat.h"
#include "server/listen_address.h"
#include "server/private_file.h"

namespace rundlet::server {
namespace {

constexpr absl::string_view kDanger = "can pretend to be this server";

absl::Status About(const absl::Status& status, absl::string_view file) {
  return absl::Status(status.code(), absl::StrCat(file, ": ", status.message()));
}

// Under what else than kServerName the server may be called from outside.
std::vector<std::string> NamesFor(const std::string& listen) {
  std::vector<std::string> names = {"localhost", "127.0.0.1", "::1"};
  const std::string host = HostOf(listen);
  if (!host.empty() && !IsAnyAddress(host)) names.push_back(host);
  std::array<char, 256> own = {};
  if (gethostname(own.data(), own.size() - 1) == 0 && own[0] != '\0') names.push_back(own.data());
  return names;
}

absl::StatusOr<ServerTls> Checked(std::string certificate, std::string key,
                                  const std::string& certificate_file,
                                  const std::string& key_file) {
  const absl::StatusOr<CertificateFacts> facts = ReadCertificate(certificate);
  if (!facts.ok()) return About(facts.status(), certificate_file);
  if (const absl::Status fits = CheckKeyFits(certificate, key); !fits.ok())
    return About(fits, absl::StrCat(key_file, " for ", certificate_file));
  if (facts->dns_names.empty())
    return absl::InvalidArgumentError(
        absl::StrCat(certificate_file, " names no host, and clients check its name: make one with ",
                     "subjectAltName=DNS:NAME"));
  return ServerTls{.certificate_pem = std::move(certificate),
                   .key_pem = std::move(key),
                   .fingerprint = facts->fingerprint,
                   .known = facts->self_signed ? Invitation::Known::kByFingerprint
                                               : Invitation::Known::kByAuthority};
}

}  // namespace

absl::StatusOr<ServerTls> LoadOrMakeTls(const TlsOptions& options, absl::Time now) {
  if (options.plain_text) return ServerTls{};
  if (options.certificate_file.empty() != options.key_file.empty())
    return absl::InvalidArgumentError("--certificate and --certificate-key go together");
  const bool given = !options.key_file.empty();
  const std::string key_file = given ? options.key_file : options.data_dir + "/tls.key";
  const std::string certificate_file =
      given ? options.certificate_file : options.data_dir + "/tls.crt";
  absl::StatusOr<std::string> key = ReadPrivate(key_file, kDanger);
  if (absl::IsNotFound(key.status()) && !given) {
    const absl::StatusOr<std::string> made = MakeKey();
    if (!made.ok()) return made.status();
    if (const absl::Status kept = WriteOnce(key_file, *made); !kept.ok()) return kept;
    key = ReadPrivate(key_file, kDanger);
  }
  if (!key.ok()) return key.status();
  absl::StatusOr<std::string> certificate = ReadShared(certificate_file);
  if (absl::IsNotFound(certificate.status()) && !given) {
    const auto made = MakeCertificate(*key, NamesFor(options.listen), now);
    if (!made.ok()) return About(made.status(), key_file);
    if (const absl::Status kept = WriteOnce(certificate_file, *made); !kept.ok()) return kept;
    certificate = ReadShared(certificate_file);
  }
  if (!certificate.ok()) return certificate.status();
  return Checked(*std::move(certificate), *std::move(key), certificate_file, key_file);
}

std::shared_ptr<grpc::ServerCredentials> CredentialsToServe(const ServerTls& tls) {
  if (tls.plain_text()) return grpc::InsecureServerCredentials();
  grpc::SslServerCredentialsOptions options(GRPC_SSL_DONT_REQUEST_CLIENT_CERTIFICATE);
  options.pem_key_cert_pairs.push_back({tls.key_pem, tls.certificate_pem});
  return grpc::SslServerCredentials(options);  // TLS 1.2 is gRPC's least
}

absl::StatusOr<std::shared_ptr<grpc::Channel>> ChannelToKnown(const std::string& address,
                                                              absl::string_view certificate_pem) {
  if (certificate_pem.empty())
    return grpc::CreateChannel(address, grpc::InsecureChannelCredentials());
  const absl::StatusOr<CertificateFacts> facts = ReadCertificate(certificate_pem);
  if (!facts.ok()) return facts.status();
  if (facts->dns_names.empty())
    return absl::InvalidArgumentError("the certificate names no host (subjectAltName)");
  grpc::SslCredentialsOptions options;
  options.pem_root_certs = std::string(certificate_pem);
  grpc::ChannelArguments arguments;
  arguments.SetSslTargetNameOverride(facts->dns_names.front());
  return grpc::CreateCustomChannel(address, grpc::SslCredentials(options), arguments);
}

}  // namespace rundlet::server
