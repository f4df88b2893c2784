#ifndef RUNDLET_CLIENT_SYNC_GRPC_REMOTE_H_
#define RUNDLET_CLIENT_SYNC_GRPC_REMOTE_H_

#include <memory>
#include <string>

#include "absl/time/time.h"
#include "client/sync/connection.h"
#include "client/sync/remote.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"

namespace rundlet::client {

// The server over gRPC. Every call has a deadline, and is tried again a few times where the server
// asks for that. Calls are made from one thread.
class GrpcRemote : public Remote {
 public:
  // `deadline` bounds everything together. InvalidArgument: see OpenChannel.
  static absl::StatusOr<std::unique_ptr<GrpcRemote>> Connect(const Connection& connection,
                                                             absl::Time deadline);

  absl::StatusOr<Who> GetDevice() override;
  absl::StatusOr<std::vector<PushAnswer>> Push(absl::Span<const StoredEntry> entries,
                                               const std::string& signature) override;
  void TellOldestWaiting(int64_t age_us) override { oldest_waiting_us_ = age_us; }
  absl::StatusOr<Page> Pull(uint64_t after_seq) override;
  absl::StatusOr<Signed> GetCheckpoint(uint64_t size) override;

 private:
  GrpcRemote(const Connection& connection, const std::shared_ptr<grpc::Channel>& channel,
             absl::Time deadline);

  // Calls a method of the stub until it succeeds or there is no sense in trying again.
  template <typename Request, typename Response>
  absl::Status Call(grpc::Status (v1::CellarService::Stub::*method)(grpc::ClientContext*,
                                                                    const Request&, Response*),
                    const Request& request, absl::Duration patience, Response& response);

  const Connection connection_;
  const absl::Time deadline_;
  int64_t oldest_waiting_us_ = 0;
  std::unique_ptr<v1::CellarService::Stub> stub_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_GRPC_REMOTE_H_
