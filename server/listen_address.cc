#include "server/listen_address.h"

#include <arpa/inet.h>

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

}  // namespace rundlet::server
