#ifndef RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
#define RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "server/limits/failure_delays.h"
#include "server/pg/connection_pool.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// Says which device a call comes from. Thread-safe.
class Authenticator {
 public:
  struct Options {
    // A device that was found is believed for so long; so late at the most a revocation by another
    // server is noticed.
    absl::Duration keep = absl::Seconds(5);
    FailureDelays::Options failures;
  };

  Authenticator(ConnectionPool& pool, std::function<absl::Time()> now, const Options& options)
      : pool_(pool), now_(now), keep_(options.keep), failures_(options.failures, std::move(now)) {}

  // `authorization` is the value of that metadata: "Bearer <token>"; empty if there is none.
  // `address` is the caller's (peer_address.h). Unauthenticated, with a reason of errors.h, or an
  // error of storage. TOO_MANY_FAILURES: one attempt after the other from this address failed; who
  // was found to be good lately is not held up by that.
  absl::StatusOr<Device> Authenticate(absl::string_view authorization, const std::string& address,
                                      absl::Time deadline) ABSL_LOCKS_EXCLUDED(mutex_);

  // From now on the tokens of this cellar are looked up anew.
  void Forget(const Uuid& cellar_id) ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct Known {
    Device device;
    absl::Time until;
  };

  // Who it was, as far as is remembered.
  std::optional<Known> Recall(const std::string& key) ABSL_LOCKS_EXCLUDED(mutex_);
  absl::StatusOr<Device> LookUp(absl::string_view token, const Hash& hash, absl::Time deadline);

  ConnectionPool& pool_;
  const std::function<absl::Time()> now_;
  const absl::Duration keep_;
  FailureDelays failures_;
  absl::Mutex mutex_;
  uint64_t forgotten_ ABSL_GUARDED_BY(mutex_) = 0;  // how often Forget was called
  // By the token's hash, so that memory holds no tokens.
  absl::flat_hash_map<std::string, Known> known_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
