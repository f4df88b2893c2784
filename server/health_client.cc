#include "server/health_client.h"

#include <google/protobuf/wrappers.pb.h>
#include <grpcpp/grpcpp.h>
#include <grpcpp/impl/client_unary_call.h>
#include <grpcpp/impl/codegen/proto_utils.h>

#include "absl/strings/str_cat.h"
#include "server/tls/server_tls.h"

namespace rundlet::server {
namespace {

// grpc/health/v1/health.proto: the request has one string, the response one enum, both of number 1.
// The wrapper messages of Protocol Buffers look the same on the wire.
using HealthCheckRequest = google::protobuf::StringValue;
using HealthCheckResponse = google::protobuf::Int32Value;
constexpr int kServing = 1;

}  // namespace

std::optional<bool> AskHealth(const std::shared_ptr<grpc::Channel>& channel, absl::Duration timeout,
                              std::string* error) {
  grpc::ClientContext context;
  context.set_deadline(std::chrono::system_clock::now() + absl::ToChronoMilliseconds(timeout));
  context.set_wait_for_ready(false);
  HealthCheckResponse response;
  const grpc::Status status = grpc::internal::BlockingUnaryCall(
      channel.get(),
      grpc::internal::RpcMethod("/grpc.health.v1.Health/Check",
                                grpc::internal::RpcMethod::NORMAL_RPC, channel),
      &context, HealthCheckRequest(), &response);
  if (error != nullptr) *error = status.error_message();
  if (!status.ok()) return std::nullopt;
  return response.value() == kServing;
}

absl::Status CheckHealth(const std::string& address, absl::string_view certificate_pem,
                         absl::Duration timeout) {
  const auto channel = ChannelToKnown(address, certificate_pem);
  if (!channel.ok()) return channel.status();
  std::string error;
  const std::optional<bool> serving = AskHealth(*channel, timeout, &error);
  if (!serving.has_value())
    return absl::UnavailableError(absl::StrCat("no answer from ", address, ": ", error));
  if (!*serving) {
    return absl::UnavailableError(
        absl::StrCat("the server at ", address, " is up but not serving: its database is away"));
  }
  return absl::OkStatus();
}

}  // namespace rundlet::server
