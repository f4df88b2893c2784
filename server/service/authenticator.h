#ifndef RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
#define RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_

#include <functional>
#include <string>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "server/pg/connection_pool.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// Says which device a call comes from. Thread-safe.
class Authenticator {
 public:
  // A device that was found is believed for `keep`; so late at the most a revocation is noticed.
  Authenticator(ConnectionPool& pool, std::function<absl::Time()> now,
                absl::Duration keep = absl::Seconds(5))
      : pool_(pool), now_(std::move(now)), keep_(keep) {}

  // `authorization` is the value of that metadata: "Bearer <token>"; empty if there is none.
  // Unauthenticated, with a reason of errors.h, or an error of storage.
  absl::StatusOr<Device> Authenticate(absl::string_view authorization, absl::Time deadline)
      ABSL_LOCKS_EXCLUDED(mutex_);

  // What is believed of this caller is looked up again at the next call.
  void Forget(absl::string_view authorization) ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct Known {
    Device device;
    absl::Time until;
  };

  absl::StatusOr<Device> LookUp(absl::string_view token, const Hash& hash, absl::Time deadline);

  ConnectionPool& pool_;
  const std::function<absl::Time()> now_;
  const absl::Duration keep_;
  absl::Mutex mutex_;
  // By the token's hash, so that memory holds no tokens.
  absl::flat_hash_map<std::string, Known> known_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
