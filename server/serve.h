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

// How much the server takes on; the defaults are for a club on a small machine.
struct ServeLimits {
  int readers = 8;  // threads for the front of every call, and for reading ones to their end
  int writers = 4;  // threads that write batches, each of another cellar
  int waiting_calls = 512;       // that wait for a reader; more are told to come again
  int cache_mib = 512;           // of cellars in memory
  int address_in_flight = 256;   // calls under way from one address: half of waiting_calls, so that
                                 // none keeps the others out
  double address_calls = 5'000;  // a second, from one address
  double device_calls = 500;     // a second, from one device
  int device_in_flight = 64;     // calls under way from one device
  absl::Duration drain = absl::Seconds(10);  // for calls that are under way at the end
};

struct ServeOptions {
  DatabaseOptions database;
  std::string listen;
  std::string address;           // HOST:PORT by which devices come; empty: as `listen` says
  TlsOptions tls;                // its data_dir and listen are filled in
  std::string feed_listen;       // if set, where the calendar feed is served over HTTP
  std::string metrics_listen;    // if set, where the page of metrics is served over HTTP
  std::string signing_key_file;  // of the key that signs checkpoints; made where there is none
  std::function<void(absl::Span<uint8_t>)> random;
  ServeLimits limits;
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
