#ifndef RUNDLET_SERVER_LIMITS_CALLER_LIMITS_H_
#define RUNDLET_SERVER_LIMITS_CALLER_LIMITS_H_

#include <functional>
#include <memory>
#include <string>
#include <utility>

#include "absl/base/thread_annotations.h"
#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "absl/synchronization/mutex.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "server/limits/recent_table.h"
#include "server/limits/token_bucket.h"

namespace rundlet::server {

// How much one device, or all callers behind one address together, may ask for. Far above what
// honest ones do: a first sync of 100,000 entries is a hundred pushes and some thirty megabytes.
struct CallerLimitOptions {
  Rate device_calls = {.per_second = 500, .burst = 2'000};
  Rate device_push_bytes = {.per_second = 32.0 * 1024 * 1024, .burst = 512.0 * 1024 * 1024};
  int device_in_flight = 64;
  Rate address_calls = {.per_second = 5'000, .burst = 20'000};
  // Half of what may wait for a reader (GrpcServer::Options::waiting_calls): what is under way is
  // counted before it is known who calls, and one address must not keep the others out.
  int address_in_flight = 256;
  size_t max_known = 10'000;  // devices, and addresses, whose rates are remembered
};

// Counts calls against these limits. Thread-safe; must outlive its tickets.
class CallerLimits {
 public:
  CallerLimits(const CallerLimitOptions& options, std::function<absl::Time()> now)
      : options_(options),
        now_(std::move(now)),
        devices_(options.max_known),
        addresses_(options.max_known) {}
  CallerLimits(const CallerLimits&) = delete;
  CallerLimits& operator=(const CallerLimits&) = delete;

  // A call that is under way, from its beginning until this goes.
  class Ticket {
   public:
    ~Ticket();
    Ticket(const Ticket&) = delete;
    Ticket& operator=(const Ticket&) = delete;
    const std::string& address() const { return address_; }

   private:
    friend class CallerLimits;
    Ticket(CallerLimits& limits, std::string address)
        : limits_(limits), address_(std::move(address)) {}

    CallerLimits& limits_;
    const std::string address_;
    std::string device_;  // once it is known
  };

  // TOO_MANY_CALLS, with when to try again; so for both.
  absl::StatusOr<std::shared_ptr<Ticket>> Begin(const std::string& address)
      ABSL_LOCKS_EXCLUDED(mutex_);
  // The call turned out to be of this device, and hands in so many bytes. Once for each ticket.
  absl::Status Identify(Ticket& ticket, const Uuid& device_id, size_t push_bytes)
      ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  struct DeviceBudget {
    TokenBucket calls, push_bytes;
  };
  using InFlight = absl::flat_hash_map<std::string, int>;  // of those that have any

  static bool Enter(InFlight& in_flight, const std::string& key, int most);
  static void Leave(InFlight& in_flight, const std::string& key);

  const CallerLimitOptions options_;
  const std::function<absl::Time()> now_;
  absl::Mutex mutex_;
  RecentTable<DeviceBudget> devices_ ABSL_GUARDED_BY(mutex_);
  RecentTable<TokenBucket> addresses_ ABSL_GUARDED_BY(mutex_);
  InFlight device_calls_ ABSL_GUARDED_BY(mutex_);
  InFlight address_calls_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LIMITS_CALLER_LIMITS_H_
