#ifndef RUNDLET_SERVER_TESTING_CALLER_H_
#define RUNDLET_SERVER_TESTING_CALLER_H_

#include <grpcpp/grpcpp.h>

#include <memory>
#include <string>
#include <vector>

#include "absl/time/clock.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "server/admin.h"

namespace rundlet::server {

// The key of a device in tests: it follows from the device's id.
evidence::SigningKey TestKeyOf(const Uuid& device_id);

// A channel in plain text to a server of this machine.
std::shared_ptr<grpc::Channel> PlainChannel(int port);

// The longest that a call may take. Longer than any test sets its server's clock ahead, by which a
// server judges deadlines; a test that hangs is ended by its own time limit.
inline constexpr absl::Duration kPatience = absl::Hours(3);

// Who calls the service, with one token. What a device pushes it signs.
class Caller {
 public:
  Caller(std::shared_ptr<grpc::Channel> channel, std::string token)
      : stub_(v1::CellarService::NewStub(channel)), token_(std::move(token)) {}
  Caller(std::shared_ptr<grpc::Channel> channel, const NewDevice& device)
      : Caller(std::move(channel), device.token) {
    device_ = device.device;
  }

  template <typename Request, typename Response>
  grpc::Status Call(grpc::Status (v1::CellarService::Stub::*method)(grpc::ClientContext*,
                                                                    const Request&, Response*),
                    const Request& request, Response& response,
                    absl::Duration timeout = kPatience) {
    grpc::ClientContext context;
    if (!token_.empty()) context.AddMetadata("authorization", "Bearer " + token_);
    context.set_deadline(absl::ToChronoTime(absl::Now() + timeout));
    return (stub_.get()->*method)(&context, request, &response);
  }

  // The device's, over these entries.
  std::string SignatureOver(const std::vector<std::string>& entries) const;
  grpc::Status Push(const std::vector<std::string>& entries, v1::PushResponse& response,
                    absl::Duration timeout = kPatience);
  grpc::Status GetDevice(v1::GetDeviceResponse& response) {
    return Call(&v1::CellarService::Stub::GetDevice, v1::GetDeviceRequest(), response);
  }

 private:
  std::unique_ptr<v1::CellarService::Stub> stub_;
  std::string token_;
  Device device_;
};

// The reason in an error's google.rpc.ErrorInfo, or "none"; the test fails where code and text do
// not stand in the error's details, too.
std::string ReasonIn(const grpc::Status& status);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_CALLER_H_
