#ifndef RUNDLET_SERVER_LISTEN_ADDRESS_H_
#define RUNDLET_SERVER_LISTEN_ADDRESS_H_

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// Whether the server may listen there: "host:port" with a host that only this machine reaches
// (127.0.0.0/8, [::1], localhost), as it does not speak TLS and tokens would go over the wire in
// plain text. InvalidArgument says what to do instead.
absl::Status CheckListenAddress(absl::string_view address);

// Whether nobody listens there yet, so that a server can say so before it starts its database.
// `address` has passed CheckListenAddress. FailedPrecondition if somebody does. What cannot be told
// passes: binding will tell.
absl::Status CheckAddressFree(absl::string_view address);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LISTEN_ADDRESS_H_
