#include "client/sync/certificate.h"

#include <netdb.h>
#include <openssl/bio.h>
#include <openssl/pem.h>
#include <openssl/ssl.h>
#include <openssl/x509v3.h>
#include <sys/socket.h>
#include <sys/time.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <memory>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "absl/time/clock.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

template <auto free>
struct Free {
  template <typename T>
  void operator()(T* thing) const {
    free(thing);
  }
};
template <typename T, auto free>
using Owned = std::unique_ptr<T, Free<free>>;
using OwnedBio = Owned<BIO, BIO_free_all>;
using OwnedX509 = Owned<X509, X509_free>;

// What gRPC speaks; a server may end a handshake in which nobody offers it.
constexpr unsigned char kHttp2[] = {2, 'h', '2'};
constexpr absl::Duration kPatience = absl::Seconds(5);

struct HostAndPort {
  std::string host, port;
};

absl::StatusOr<HostAndPort> SplitAddress(absl::string_view server) {
  absl::ConsumePrefix(&server, "dns:///");
  const size_t colon = server.rfind(':');
  int port = 0;
  if (colon == absl::string_view::npos || colon == 0 ||
      !absl::SimpleAtoi(server.substr(colon + 1), &port) || port < 1 || port > 65535)
    return absl::InvalidArgumentError(
        absl::StrCat("'", server, "' is no address: write HOST:PORT, such as cellar.example:7117"));
  absl::string_view host = server.substr(0, colon);
  if (absl::ConsumePrefix(&host, "[")) absl::ConsumeSuffix(&host, "]");
  return HostAndPort{.host = std::string(host), .port = absl::StrCat(port)};
}

absl::Status Away(absl::string_view server, absl::string_view why) {
  return absl::UnavailableError(absl::StrCat("the server at ", server, " does not answer: ", why));
}

// Reading, writing and connecting wait no longer than this.
void SetPatience(int fd, absl::Duration patience) {
  timeval time = absl::ToTimeval(std::max(patience, absl::Milliseconds(1)));
  setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &time, sizeof(time));
  setsockopt(fd, SOL_SOCKET, SO_SNDTIMEO, &time, sizeof(time));
}

absl::StatusOr<Fd> Connect(const std::string& server, absl::Time deadline) {
  const auto address = SplitAddress(server);
  if (!address.ok()) return address.status();
  addrinfo hints = {};
  hints.ai_socktype = SOCK_STREAM;
  addrinfo* found = nullptr;
  if (const int error = getaddrinfo(address->host.c_str(), address->port.c_str(), &hints, &found);
      error != 0)
    return Away(server, gai_strerror(error));
  const Owned<addrinfo, freeaddrinfo> all(found);
  std::string why = "no such host";
  for (const addrinfo* each = found; each != nullptr; each = each->ai_next) {
    Fd fd(socket(each->ai_family, each->ai_socktype | SOCK_CLOEXEC, each->ai_protocol));
    if (!fd.ok()) continue;
    SetPatience(fd.get(), std::min(kPatience, deadline - absl::Now()));
    if (connect(fd.get(), each->ai_addr, each->ai_addrlen) == 0) return fd;
    why = std::strerror(errno);
  }
  return Away(server, why);
}

absl::StatusOr<std::string> ToPem(X509* certificate) {
  const OwnedBio bio(BIO_new(BIO_s_mem()));
  if (bio == nullptr || PEM_write_bio_X509(bio.get(), certificate) != 1)
    return absl::InternalError("OpenSSL cannot write a certificate");
  char* data = nullptr;
  const int64_t size = BIO_get_mem_data(bio.get(), &data);
  return std::string(data, static_cast<size_t>(size));
}

std::string TextOf(const ASN1_STRING* text) {
  return std::string(reinterpret_cast<const char*>(ASN1_STRING_get0_data(text)),
                     static_cast<size_t>(ASN1_STRING_length(text)));
}

void FreeNames(GENERAL_NAMES* names) { GENERAL_NAMES_free(names); }

}  // namespace

absl::StatusOr<std::string> FetchCertificate(const std::string& server, absl::Time deadline) {
  const auto fd = Connect(server, deadline);
  if (!fd.ok()) return fd.status();
  const Owned<SSL_CTX, SSL_CTX_free> context(SSL_CTX_new(TLS_client_method()));
  if (context == nullptr) return absl::InternalError("OpenSSL cannot begin");
  const Owned<SSL, SSL_free> ssl(SSL_new(context.get()));
  if (ssl == nullptr || SSL_set_alpn_protos(ssl.get(), kHttp2, sizeof(kHttp2)) != 0 ||
      SSL_set_fd(ssl.get(), fd->get()) != 1)
    return absl::InternalError("OpenSSL cannot begin");
  const auto address = SplitAddress(server);
  SSL_set_tlsext_host_name(ssl.get(), address->host.c_str());
  if (SSL_connect(ssl.get()) != 1) return Away(server, "not by TLS");
  const OwnedX509 certificate(SSL_get1_peer_certificate(ssl.get()));
  if (certificate == nullptr) return Away(server, "it shows no certificate");
  return ToPem(certificate.get());
}

absl::StatusOr<std::string> NameInCertificate(const std::string& pem) {
  const OwnedBio bio(BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size())));
  const OwnedX509 certificate(PEM_read_bio_X509(bio.get(), nullptr, nullptr, nullptr));
  if (certificate == nullptr) return absl::InvalidArgumentError("this is no certificate in PEM");
  const Owned<GENERAL_NAMES, FreeNames> names(static_cast<GENERAL_NAMES*>(
      X509_get_ext_d2i(certificate.get(), NID_subject_alt_name, nullptr, nullptr)));
  for (int i = 0; names != nullptr && i < sk_GENERAL_NAME_num(names.get()); ++i) {
    const GENERAL_NAME* name = sk_GENERAL_NAME_value(names.get(), i);
    // A wildcard is no name of a host.
    if (name->type == GEN_DNS && TextOf(name->d.dNSName).find('*') == std::string::npos)
      return TextOf(name->d.dNSName);
  }
  const X509_NAME* subject = X509_get_subject_name(certificate.get());
  if (const int at = X509_NAME_get_index_by_NID(subject, NID_commonName, -1); at >= 0)
    return TextOf(X509_NAME_ENTRY_get_data(X509_NAME_get_entry(subject, at)));
  return absl::InvalidArgumentError(
      "the server's certificate holds no name of a host: its keeper has to make another one");
}

absl::Status CompareCertificates(const std::string& server, const ServerTrust& trust,
                                 absl::Time deadline) {
  if (trust.kind != ServerTrust::Kind::kPinned) return absl::OkStatus();
  const auto shown = FetchCertificate(server, deadline);
  if (!shown.ok()) return absl::OkStatus();
  const auto now = FingerprintOf(*shown);
  const auto known = FingerprintOf(trust.pem);
  if (!now.ok() || !known.ok() || *now == *known) return absl::OkStatus();
  return absl::FailedPreconditionError(absl::StrCat(
      "the server at ", server, " is not the one that this device knows, or has a new ",
      "certificate. It shows\n  ", FormatFingerprint(*now), "\nand this device knows\n  ",
      FormatFingerprint(*known),
      "\nNothing was sent. Ask who keeps the server for the fingerprint of its certificate, by "
      "another way than this one; if it is the first of the two: rundlet server --fingerprint ",
      FormatFingerprint(*now)));
}

}  // namespace rundlet::client
