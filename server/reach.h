#ifndef RUNDLET_SERVER_REACH_H_
#define RUNDLET_SERVER_REACH_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "core/identity/invitation.h"
#include "server/tls/server_tls.h"

namespace rundlet::server {

// How a server is reached and known from outside: what it says of itself when it begins to serve,
// and what commands that run beside it put into invitations. Nothing in it is secret.
struct Reach {
  std::string address;  // HOST:PORT
  Invitation::Known known = Invitation::Known::kPlainText;
  std::string certificate_pem;  // empty for plain text
};

// Of a server that listens on `listen`, which took `port`. Where it listens on every address of the
// machine, the machine's name stands for it. `address` goes before both, if it is not empty.
Reach ReachOf(const std::string& listen, int port, const std::string& address,
              const ServerTls& tls);

// Kept in the file `reach` of the data directory.
absl::Status WriteReach(const std::string& data_dir, const Reach& reach);
// NotFound: no server has served there yet. DataLoss: it is not what WriteReach wrote.
absl::StatusOr<Reach> ReadReach(const std::string& data_dir);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_REACH_H_
