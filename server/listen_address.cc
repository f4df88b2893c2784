#include "server/listen_address.h"

#include <arpa/inet.h>
#include <netdb.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <memory>
#include <string>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

bool IsLoopback(const std::string& host) {
  if (host == "localhost" || host == "[::1]") return true;
  in_addr address;
  if (::inet_pton(AF_INET, host.c_str(), &address) != 1) return false;
  return ntohl(address.s_addr) >> 24 == 127;
}

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

absl::Status CheckListenAddress(absl::string_view address) {
  const size_t colon = address.rfind(':');
  int port = -1;
  if (colon == absl::string_view::npos || !absl::SimpleAtoi(address.substr(colon + 1), &port) ||
      port < 0 || port > 65535) {
    return absl::InvalidArgumentError(absl::StrCat(
        "'", address, "' is no address to listen on: write host:port, as in 127.0.0.1:7117"));
  }
  if (IsLoopback(std::string(address.substr(0, colon)))) return absl::OkStatus();
  return absl::InvalidArgumentError(absl::StrCat(
      "will not listen on ", address,
      ": without TLS, tokens would cross the network for anyone to "
      "read. Listen on 127.0.0.1 and let other machines in through SSH (ssh -L) or a proxy that "
      "speaks TLS"));
}

absl::Status CheckAddressFree(absl::string_view address) {
  const size_t colon = address.rfind(':');
  std::string host(address.substr(0, colon));
  if (!host.empty() && host.front() == '[') host = host.substr(1, host.size() - 2);
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
