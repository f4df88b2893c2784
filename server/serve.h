#ifndef RUNDLET_SERVER_SERVE_H_
#define RUNDLET_SERVER_SERVE_H_

#include <functional>
#include <string>

#include "absl/status/status.h"
#include "absl/types/span.h"
#include "server/database.h"

namespace rundlet::server {

struct ServeOptions {
  DatabaseOptions database;
  std::string listen;
  std::string feed_listen;       // if set, where the calendar feed is served over HTTP
  std::string signing_key_file;  // of the key that signs checkpoints; made where there is none
  std::function<void(absl::Span<uint8_t>)> random;
  std::string port_file;  // if set, gets the port, with a line break, once the server serves
};

// Serves until SIGTERM or SIGINT, which must be blocked in every thread, and then stops gracefully:
// says NOT_SERVING, lets calls end, stops a private database.
absl::Status Serve(const ServeOptions& options);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVE_H_
