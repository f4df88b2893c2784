#ifndef RUNDLET_SERVER_SERVICE_ADMISSION_H_
#define RUNDLET_SERVER_SERVICE_ADMISSION_H_

#include <grpcpp/server_context.h>

#include <functional>
#include <memory>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "server/limits/caller_limits.h"
#include "server/service/authenticator.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// The one gate of CellarService: every call passes it, before anything of it is read or looked up.
// What a stranger, or a member without the right, is told so depends on nothing that is in the
// database. Thread-safe.
class Admission {
 public:
  using Ticket = std::shared_ptr<CallerLimits::Ticket>;

  Admission(Authenticator& authenticator, CallerLimits& limits, std::function<absl::Time()> now)
      : authenticator_(authenticator), limits_(limits), now_(std::move(now)) {}

  // First, and quick: before the call waits for a worker. The ticket is held until the call ends.
  // TOO_MANY_CALLS.
  absl::StatusOr<Ticket> Begin(const grpc::CallbackServerContext& context);

  // Then, in a worker: who calls, and whether their role (core/rights) and the limits allow it.
  // TOO_LATE, what Authenticator says, NOT_ALLOWED, TOO_MANY_CALLS.
  absl::StatusOr<Device> Admit(absl::string_view method, const grpc::CallbackServerContext& context,
                               const Ticket& ticket, size_t push_bytes);

  // Until when a call may wait for a connection of the database.
  absl::Time PatienceOf(const grpc::CallbackServerContext& context) const;

 private:
  Authenticator& authenticator_;
  CallerLimits& limits_;
  const std::function<absl::Time()> now_;
};

// The call's metadata `authorization`; empty if there is none.
absl::string_view AuthorizationOf(const grpc::CallbackServerContext& context);
absl::Time DeadlineOf(const grpc::CallbackServerContext& context);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_ADMISSION_H_
