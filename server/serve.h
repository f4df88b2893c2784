#ifndef RUNDLET_SERVER_SERVE_H_
#define RUNDLET_SERVER_SERVE_H_

#include <functional>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "server/database.h"
#include "server/reach.h"
#include "server/tls/server_tls.h"

namespace rundlet::server {

struct ServeOptions {
  DatabaseOptions database;
  std::string listen;
  std::string address;           // HOST:PORT by which devices come; empty: as `listen` says
  TlsOptions tls;                // its data_dir and listen are filled in
  std::string feed_listen;       // if set, where the calendar feed is served over HTTP
  std::string metrics_listen;    // if set, where the page of metrics is served over HTTP
  std::string signing_key_file;  // of the key that signs checkpoints; made where there is none
  std::function<void(absl::Span<uint8_t>)> random;
  std::string port_file;  // if set, gets the port, with a line break, once the server serves
};

// How the server is reached: as the one that served last has left it, or, where none has or the
// options say how it is known, as one with these options would be. InvalidArgument: no port can be
// told; what LoadOrMakeTls says.
absl::StatusOr<Reach> FindReach(const ServeOptions& options, absl::Time now);

// Serves until SIGTERM or SIGINT, which must be blocked in every thread, and then stops gracefully:
// says NOT_SERVING, lets calls end, stops a private database.
absl::Status Serve(const ServeOptions& options);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVE_H_
