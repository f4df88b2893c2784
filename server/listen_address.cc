#include "server/listen_address.h"

#include <arpa/inet.h>
#include <netdb.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <memory>
#include <string>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"

namespace rundlet::server {
namespace {

// The errno of binding there, or 0.
int TryBind(const addrinfo& info) {
  const int fd = ::socket(info.ai_family, info.ai_socktype | SOCK_CLOEXEC, info.ai_protocol);
  if (fd < 0) return 0;
  const int on = 1;  // else connections that ended a minute ago would count
  ::setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &on, sizeof(on));
  const int error = ::bind(fd, info.ai_addr, info.ai_addrlen) == 0 ? 0 : errno;
  ::close(fd);
  return error;
}

}  // namespace

std::string HostOf(absl::string_view address) {
  absl::string_view host = address.substr(0, address.rfind(':'));
  if (absl::ConsumePrefix(&host, "[")) absl::ConsumeSuffix(&host, "]");
  return std::string(host);
}

int PortOf(absl::string_view address) {
  int port = 0;
  return absl::SimpleAtoi(address.substr(address.rfind(':') + 1), &port) ? port : 0;
}

bool IsLoopback(absl::string_view host) {
  if (host == "localhost" || host == "::1") return true;
  in_addr address;
  if (::inet_pton(AF_INET, std::string(host).c_str(), &address) != 1) return false;
  return ntohl(address.s_addr) >> 24 == 127;
}

bool IsAnyAddress(absl::string_view host) { return host == "0.0.0.0" || host == "::"; }

absl::Status CheckListenAddress(absl::string_view address, bool plain_text) {
  const size_t colon = address.rfind(':');
  int port = -1;
  const absl::string_view host = address.substr(0, colon);
  const bool is_bare_ipv6 = absl::StrContains(host, ':') && !absl::StartsWith(host, "[");
  if (colon == absl::string_view::npos || host.empty() || is_bare_ipv6 ||
      !absl::SimpleAtoi(address.substr(colon + 1), &port) || port < 0 || port > 65535) {
    return absl::InvalidArgumentError(
        absl::StrCat("'", address,
                     "' is no address to listen on: write host:port, as in 127.0.0.1:7117, "
                     "0.0.0.0:7117 or [::]:7117"));
  }
  if (!plain_text || IsLoopback(HostOf(address))) return absl::OkStatus();
  return absl::InvalidArgumentError(
      absl::StrCat("will not listen on ", address,
                   " in plain text: without TLS, tokens would cross the network for anyone to "
                   "read. Leave --plain-text out, or listen on 127.0.0.1"));
}

absl::Status CheckAddressFree(absl::string_view address) {
  const size_t colon = address.rfind(':');
  const std::string host = HostOf(address);
  const std::string port(address.substr(colon + 1));
  addrinfo hints = {};
  hints.ai_family = AF_UNSPEC;
  hints.ai_socktype = SOCK_STREAM;
  hints.ai_flags = AI_PASSIVE | AI_NUMERICSERV;
  addrinfo* found = nullptr;
  if (::getaddrinfo(host.c_str(), port.c_str(), &hints, &found) != 0) return absl::OkStatus();
  const std::unique_ptr<addrinfo, void (*)(addrinfo*)> list(found, ::freeaddrinfo);
  for (const addrinfo* info = found; info != nullptr; info = info->ai_next) {
    switch (TryBind(*info)) {
      case EADDRINUSE:
        return absl::FailedPreconditionError(
            absl::StrCat("cannot listen on ", address,
                         ": another program does. Stop it, or choose another port with --listen"));
      case EACCES:
        return absl::FailedPreconditionError(absl::StrCat(
            "cannot listen on ", address,
            ": this user may not take that port. Choose one above 1023 with --listen"));
      default:
        break;
    }
  }
  return absl::OkStatus();
}

}  // namespace rundlet::server
