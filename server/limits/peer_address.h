#ifndef RUNDLET_SERVER_LIMITS_PEER_ADDRESS_H_
#define RUNDLET_SERVER_LIMITS_PEER_ADDRESS_H_

#include <string>

#include "absl/strings/string_view.h"

struct sockaddr;

namespace rundlet::server {

// Whom a caller's address stands for, as limits count it: an IPv4 address; of an IPv6 address its
// first 64 bits, as one household has all of the rest ("2001:db8:1:2::/64").

// From gRPC's name of a peer: "ipv4:192.0.2.7:4711", "ipv6:%5B2001:db8::7%5D:4711". Any other name
// stands for itself.
std::string AddressOfPeer(absl::string_view peer);

// "" for what is no IP address.
std::string AddressOf(const sockaddr* address);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LIMITS_PEER_ADDRESS_H_
