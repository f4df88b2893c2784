#ifndef RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
#define RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "server/limits/caller_limits.h"
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
    // How tokens that are not known are looked up for an address from which too many failed.
    CallerLimitOptions suspects = {.address_calls = {.per_second = 200, .burst = 200},
                                   .address_in_flight = 2};
  };
  enum class Trust { kRemembered, kLookedUpNow };

  Authenticator(ConnectionPool& pool, std::function<absl::Time()> now, const Options& options)
      : pool_(pool),
        now_(now),
        keep_(options.keep),
        failures_(options.failures, now),
        suspects_(options.suspects, std::move(now)) {}

  // `authorization` is the value of that metadata: "Bearer <token>"; empty if there is none.
  // `address` is the caller's (peer_address.h). Unauthenticated, with a reason of errors.h, or an
  // error of storage. TOO_MANY_FAILURES: one attempt after the other from this address failed, and
  // as many tokens of it as may be are being looked up. So a good token is not refused for what
  // others behind its address do, unless they do it all the time; and who was found to be good
  // lately is not held up at all. Not even the device that is named counts: its id is no secret,
  // and who knows it could shut the device out.
  //
  // kLookedUpNow: what is remembered of this token, and of no other, is not believed.
  absl::StatusOr<Device> Authenticate(absl::string_view authorization, const std::string& address,
                                      absl::Time deadline, Trust trust = Trust::kRemembered)
      ABSL_LOCKS_EXCLUDED(mutex_);

  // From now on the tokens of this cellar are looked up anew.
  void Forget(const Uuid& cellar_id) ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct Known {
    Device device;
    absl::Time until;
  };

  // Who it was, as far as is remembered.
  std::optional<Known> Recall(const std::string& key) ABSL_LOCKS_EXCLUDED(mutex_);
  // Lets a token that is not known be looked up for this address, as long as what it returns is
  // held; nullptr where nothing is bounded. TOO_MANY_FAILURES.
  absl::StatusOr<std::shared_ptr<CallerLimits::Ticket>> TakeTurn(const std::string& address);
  absl::StatusOr<Device> LookUp(absl::string_view token, const Hash& hash, absl::Time deadline);

  ConnectionPool& pool_;
  const std::function<absl::Time()> now_;
  const absl::Duration keep_;
  FailureDelays failures_;
  CallerLimits suspects_;
  absl::Mutex mutex_;
  uint64_t forgotten_ ABSL_GUARDED_BY(mutex_) = 0;  // how often Forget was called
  // By the token's hash, so that memory holds no tokens.
  absl::flat_hash_map<std::string, Known> known_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_AUTHENTICATOR_H_
