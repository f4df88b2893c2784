#include "server/limits/peer_address.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <cstring>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/strip.h"

namespace rundlet::server {
namespace {

std::string Text(int family, const void* address) {
  std::array<char, INET6_ADDRSTRLEN> text = {};
  return inet_ntop(family, address, text.data(), text.size()) == nullptr ? "" : text.data();
}

std::string NetworkOf(in6_addr address) {
  if (IN6_IS_ADDR_V4MAPPED(&address)) return Text(AF_INET, &address.s6_addr[12]);
  std::fill(std::begin(address.s6_addr) + 8, std::end(address.s6_addr), uint8_t{0});
  return absl::StrCat(Text(AF_INET6, &address), "/64");
}

}  // namespace

std::string AddressOfPeer(absl::string_view peer) {
  absl::string_view rest = peer;
  if (absl::ConsumePrefix(&rest, "ipv4:")) return std::string(rest.substr(0, rest.rfind(':')));
  if (!absl::ConsumePrefix(&rest, "ipv6:")) return std::string(peer);
  const std::string plain = absl::StrReplaceAll(rest, {{"%5B", "["}, {"%5D", "]"}, {"%25", "%"}});
  absl::string_view host = absl::string_view(plain).substr(0, plain.rfind(']'));
  absl::ConsumePrefix(&host, "[");
  host = host.substr(0, host.find('%'));  // the interface
  in6_addr address;
  return inet_pton(AF_INET6, std::string(host).c_str(), &address) == 1 ? NetworkOf(address)
                                                                       : std::string(peer);
}

std::string AddressOf(const sockaddr* address) {
  if (address == nullptr) return "";
  if (address->sa_family == AF_INET) {
    sockaddr_in v4;
    std::memcpy(&v4, address, sizeof(v4));
    return Text(AF_INET, &v4.sin_addr);
  }
  if (address->sa_family != AF_INET6) return "";
  sockaddr_in6 v6;
  std::memcpy(&v6, address, sizeof(v6));
  return NetworkOf(v6.sin6_addr);
}

}  // namespace rundlet::server
