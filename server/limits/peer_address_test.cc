// Goal: an address counts as one household, however gRPC or the kernel writes it.
// Method: names of peers as gRPC gives them; addresses of RFC 5737 and RFC 3849.
#include "server/limits/peer_address.h"

#include <arpa/inet.h>

#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

TEST(PeerAddressTest, PortsAndTheLastBitsDoNotCount) {
  EXPECT_EQ(AddressOfPeer("ipv4:192.0.2.7:4711"), "192.0.2.7");
  for (const char* peer : {"ipv6:%5B2001:db8:1:2::7%5D:4711", "ipv6:[2001:db8:1:2:ffff::1]:1",
                           "ipv6:%5B2001:db8:1:2::9%25eth0%5D:4711"})
    EXPECT_EQ(AddressOfPeer(peer), "2001:db8:1:2::/64") << peer;
  EXPECT_EQ(AddressOfPeer("ipv6:%5B::ffff:192.0.2.7%5D:4711"), "192.0.2.7");
  EXPECT_EQ(AddressOfPeer("unix:/run/x"), "unix:/run/x");
  EXPECT_EQ(AddressOfPeer("ipv6:nonsense"), "ipv6:nonsense");
}

TEST(PeerAddressTest, TheKernelsAddressesCountTheSame) {
  sockaddr_in v4{};
  v4.sin_family = AF_INET;
  ASSERT_EQ(inet_pton(AF_INET, "192.0.2.7", &v4.sin_addr), 1);
  EXPECT_EQ(AddressOf(reinterpret_cast<const sockaddr*>(&v4)), "192.0.2.7");
  sockaddr_in6 v6{};
  v6.sin6_family = AF_INET6;
  ASSERT_EQ(inet_pton(AF_INET6, "2001:db8:1:2::7", &v6.sin6_addr), 1);
  EXPECT_EQ(AddressOf(reinterpret_cast<const sockaddr*>(&v6)), "2001:db8:1:2::/64");
  EXPECT_EQ(AddressOf(nullptr), "");
}

}  // namespace
}  // namespace rundlet::server
