#ifndef RUNDLET_CLIENT_SYNC_CHANNEL_H_
#define RUNDLET_CLIENT_SYNC_CHANNEL_H_

#include <grpcpp/channel.h>

#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/store/server_trust.h"

namespace rundlet::client {

// A way to a server that is known in one of the ways of ServerTrust, and to no other. It goes
// through no proxy, and connects when it is first used.
//
// InvalidArgument: it is no address, or plain text would leave this machine.
absl::StatusOr<std::shared_ptr<grpc::Channel>> OpenChannel(const std::string& server,
                                                           const ServerTrust& trust);

// Whether an address names this machine: localhost, 127.0.0.0/8, ::1 or a Unix socket.
bool IsLoopback(absl::string_view server);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_CHANNEL_H_
