#ifndef RUNDLET_SERVER_HEALTH_CLIENT_H_
#define RUNDLET_SERVER_HEALTH_CLIENT_H_

#include <grpcpp/channel.h>

#include <memory>
#include <optional>
#include <string>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"

namespace rundlet::server {

// Asks a server whether it is SERVING, by grpc.health.v1.Health/Check. Unavailable, with a text for
// people, if it is not or does not answer within `timeout`. The server is known by its certificate;
// without one it is asked in plain text.
absl::Status CheckHealth(const std::string& address, absl::string_view certificate_pem,
                         absl::Duration timeout);

// The same by a channel that is there already: whether it is SERVING; nullopt if nobody answers.
std::optional<bool> AskHealth(const std::shared_ptr<grpc::Channel>& channel, absl::Duration timeout,
                              std::string* error = nullptr);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_HEALTH_CLIENT_H_
