#ifndef RUNDLET_SERVER_LISTEN_ADDRESS_H_
#define RUNDLET_SERVER_LISTEN_ADDRESS_H_

#include <string>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// Whether the server may listen there: "host:port". In plain text only with a host that nobody but
// this machine reaches (127.0.0.0/8, [::1], localhost), as tokens would go over the wire for
// anybody to read. InvalidArgument says what to do instead.
absl::Status CheckListenAddress(absl::string_view address, bool plain_text);

// Of an address that has passed CheckListenAddress: its host, without the brackets of IPv6.
std::string HostOf(absl::string_view address);
int PortOf(absl::string_view address);
bool IsLoopback(absl::string_view host);    // nobody but this machine reaches it
bool IsAnyAddress(absl::string_view host);  // "0.0.0.0", "::": every address of this machine

// Whether nobody listens there yet, so that a server can say so before it starts its database.
// `address` has passed CheckListenAddress. FailedPrecondition if somebody does. What cannot be told
// passes: binding will tell.
absl::Status CheckAddressFree(absl::string_view address);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LISTEN_ADDRESS_H_
