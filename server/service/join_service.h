#ifndef RUNDLET_SERVER_SERVICE_JOIN_SERVICE_H_
#define RUNDLET_SERVER_SERVICE_JOIN_SERVICE_H_

#include <cstdint>
#include <functional>
#include <utility>

#include "absl/status/status.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "rundlet/v1/join_service.grpc.pb.h"
#include "server/limits/failure_delays.h"
#include "server/pg/connection_pool.h"
#include "server/service/admission.h"
#include "server/service/authenticator.h"
#include "server/worker_pool.h"

namespace rundlet::server {

// The one call that needs no token; see join.h. An address from which one attempt after the other
// fails has to wait, and is told so before anything waits for it. Strangers wait for workers and
// limits of their own, so that they keep no device waiting. Thread-safe; what is borrowed must
// outlive the gRPC server that serves this.
class JoinService final : public v1::JoinService::CallbackService {
 public:
  struct Parts {
    ConnectionPool& pool;
    WorkerPool& workers;   // for this call alone
    CallerLimits& limits;  // by address; the same
    const Admission& admission;
    Authenticator& authenticator;
    std::function<absl::Time()> now;
    std::function<void(absl::Span<uint8_t>)> random;
    FailureDelays::Options failures;
  };

  explicit JoinService(Parts parts)
      : parts_(std::move(parts)), failures_(parts_.failures, parts_.now) {}

  grpc::ServerUnaryReactor* Join(grpc::CallbackServerContext* context,
                                 const v1::JoinRequest* request,
                                 v1::JoinResponse* response) override;

 private:
  // TOO_MANY_FAILURES, with how long.
  absl::Status CheckWait(const std::string& address) const;
  absl::Status JoinNow(const grpc::CallbackServerContext& context, const std::string& address,
                       const v1::JoinRequest& request, v1::JoinResponse& response);

  const Parts parts_;
  FailureDelays failures_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_JOIN_SERVICE_H_
