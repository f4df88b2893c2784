#ifndef RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_
#define RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_

#include <functional>

#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push_queue.h"
#include "server/pg/connection_pool.h"
#include "server/service/admission.h"
#include "server/service/authenticator.h"
#include "server/service/push_meter.h"
#include "server/worker_pool.h"

namespace rundlet::server {

// The calls of rundlet.v1.CellarService. gRPC runs as many handlers at a time as there are cores,
// and ours wait for the database: so a handler only hands its call over to the workers.
//
// Thread-safe. What is borrowed must outlive the gRPC server that serves this.
class CellarService final : public v1::CellarService::CallbackService {
 public:
  struct Parts {
    ConnectionPool& pool;
    CellarCache& cache;
    PushQueue& pushes;
    WorkerPool& workers;
    Authenticator& authenticator;
    Admission& admission;
    std::function<absl::Time()> now;
    PushMeter& meter;
    const evidence::SigningKey* signing_key = nullptr;  // null: no checkpoints are given
  };

  explicit CellarService(Parts parts) : parts_(std::move(parts)) {}

  grpc::ServerUnaryReactor* GetDevice(grpc::CallbackServerContext* context,
                                      const v1::GetDeviceRequest* request,
                                      v1::GetDeviceResponse* response) override;
  grpc::ServerUnaryReactor* Push(grpc::CallbackServerContext* context,
                                 const v1::PushRequest* request,
                                 v1::PushResponse* response) override;
  grpc::ServerUnaryReactor* Pull(grpc::CallbackServerContext* context,
                                 const v1::PullRequest* request,
                                 v1::PullResponse* response) override;
  grpc::ServerUnaryReactor* GetCheckpoint(grpc::CallbackServerContext* context,
                                          const v1::GetCheckpointRequest* request,
                                          v1::GetCheckpointResponse* response) override;
  grpc::ServerUnaryReactor* GetInclusion(grpc::CallbackServerContext* context,
                                         const v1::GetInclusionRequest* request,
                                         v1::GetInclusionResponse* response) override;
  grpc::ServerUnaryReactor* ListDevices(grpc::CallbackServerContext* context,
                                        const v1::ListDevicesRequest* request,
                                        v1::ListDevicesResponse* response) override;
  grpc::ServerUnaryReactor* RevokeDevice(grpc::CallbackServerContext* context,
                                         const v1::RevokeDeviceRequest* request,
                                         v1::RevokeDeviceResponse* response) override;
  grpc::ServerUnaryReactor* CreateInvitation(grpc::CallbackServerContext* context,
                                             const v1::CreateInvitationRequest* request,
                                             v1::CreateInvitationResponse* response) override;
  grpc::ServerUnaryReactor* ListInvitations(grpc::CallbackServerContext* context,
                                            const v1::ListInvitationsRequest* request,
                                            v1::ListInvitationsResponse* response) override;
  grpc::ServerUnaryReactor* RevokeInvitation(grpc::CallbackServerContext* context,
                                             const v1::RevokeInvitationRequest* request,
                                             v1::RevokeInvitationResponse* response) override;
  grpc::ServerUnaryReactor* SetMemberRole(grpc::CallbackServerContext* context,
                                          const v1::SetMemberRoleRequest* request,
                                          v1::SetMemberRoleResponse* response) override;
  grpc::ServerUnaryReactor* RemoveMember(grpc::CallbackServerContext* context,
                                         const v1::RemoveMemberRequest* request,
                                         v1::RemoveMemberResponse* response) override;
  grpc::ServerUnaryReactor* GetBoard(grpc::CallbackServerContext* context,
                                     const v1::GetBoardRequest* request,
                                     v1::GetBoardResponse* response) override;
  grpc::ServerUnaryReactor* ListJournal(grpc::CallbackServerContext* context,
                                        const v1::ListJournalRequest* request,
                                        v1::ListJournalResponse* response) override;
  grpc::ServerUnaryReactor* GetTrace(grpc::CallbackServerContext* context,
                                     const v1::GetTraceRequest* request,
                                     v1::GetTraceResponse* response) override;
  grpc::ServerUnaryReactor* ListHeld(grpc::CallbackServerContext* context,
                                     const v1::ListHeldRequest* request,
                                     v1::ListHeldResponse* response) override;

 private:
  // A call that is answered from one transaction: admit, validate, answer.
  template <typename Request, typename Response>
  grpc::ServerUnaryReactor* Handle(const char* method, grpc::CallbackServerContext* context,
                                   const Request* request, Response* response);
  template <typename Request, typename Response>
  absl::Status HandleNow(const char* method, grpc::CallbackServerContext* context,
                         const Admission::Ticket& ticket, const Request& request,
                         Response& response);
  // Whether the push's device signed it, by the key that it has now.
  absl::Status VerifySigned(const grpc::CallbackServerContext& context,
                            const CallerLimits::Ticket& ticket, server::Push& push);
  // The worker's part of a push: checks each entry by itself and queues it.
  void PushNow(grpc::CallbackServerContext* context, const v1::PushRequest* request,
               v1::PushResponse* response, grpc::ServerUnaryReactor* reactor,
               const Admission::Ticket& ticket);

  const Parts parts_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_
