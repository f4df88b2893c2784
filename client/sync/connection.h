#ifndef RUNDLET_CLIENT_SYNC_CONNECTION_H_
#define RUNDLET_CLIENT_SYNC_CONNECTION_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "client/store/server_trust.h"
#include "client/store/store.h"

namespace rundlet::client {

// Where a device's server is, how it is known, and what the device shows it.
struct Connection {
  std::string server;
  ServerTrust trust;
  std::string token;  // empty: none yet
};

// That of a book. FailedPrecondition, with what to do: its cellar has no server, or the token or
// the server's certificate is gone.
absl::StatusOr<Connection> ConnectionOf(const Store& store);

// What is said of a failed call: where the server could not be reached, whether it shows another
// certificate than the one that is known.
absl::Status ExplainFailure(const Connection& connection, absl::Time deadline,
                            const absl::Status& status);

// Makes a call of CellarService by its name, with a request and an answer in protobuf's binary
// form. The errors of the server, and those of Remote.
absl::StatusOr<std::string> CallByName(const Connection& connection, absl::string_view method,
                                       const std::string& request, absl::Time deadline);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_CONNECTION_H_
