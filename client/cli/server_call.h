#ifndef RUNDLET_CLIENT_CLI_SERVER_CALL_H_
#define RUNDLET_CLIENT_CLI_SERVER_CALL_H_

#include <google/protobuf/message_lite.h>

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/cli/session.h"

namespace rundlet::client {

// Asks rundlet-sync for something that needs the network; see client/sync/other_runs.h. Errors are
// those of the server, and Unavailable where it does not answer.
absl::StatusOr<std::string> AskNetwork(const Session& session, const std::string& home,
                                       std::vector<std::string> words,
                                       const std::string& input = "");

// Makes a call of CellarService as the device of a book. PermissionDenied, before anything is
// sent, where the table of rights says so.
absl::Status CallServer(const Session& session, const Device& device, const StoreHome& home,
                        absl::string_view method, const google::protobuf::MessageLite& request,
                        google::protobuf::MessageLite& response);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_SERVER_CALL_H_
