#ifndef RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_
#define RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_

#include <functional>

#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push_queue.h"
#include "server/pg/connection_pool.h"
#include "server/service/authenticator.h"
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
    std::function<absl::Time()> now;
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
  // A reading call: validate, authorise, answer from a transaction.
  template <typename Request, typename Response>
  grpc::ServerUnaryReactor* Read(const char* method, grpc::CallbackServerContext* context,
                                 const Request* request, Response* response);
  template <typename Request, typename Response>
  absl::Status ReadNow(grpc::CallbackServerContext* context, const Request& request,
                       Response& response);
  // Whether the push's device signed it, by the key that it has now.
  absl::Status VerifySigned(absl::string_view authorization, absl::Time deadline,
                            server::Push& push);
  // The worker's part of a push: checks each entry by itself and queues it.
  void PushNow(grpc::CallbackServerContext* context, const v1::PushRequest* request,
               v1::PushResponse* response, grpc::ServerUnaryReactor* reactor);

  const Parts parts_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_CELLAR_SERVICE_H_
