#ifndef RUNDLET_SERVER_TESTING_ANY_CALL_H_
#define RUNDLET_SERVER_TESTING_ANY_CALL_H_

#include <google/protobuf/message.h>
#include <grpcpp/grpcpp.h>

#include <memory>
#include <string>
#include <vector>

namespace rundlet::server {

// The full names of the services that a running server says it has, by gRPC server reflection.
// Empty where it does not answer.
std::vector<std::string> ServicesOf(const std::shared_ptr<grpc::Channel>& channel);

// What came back of a call.
struct Answered {
  grpc::Status status;
  std::string response;  // serialised

  // Everything in it that a caller sees.
  std::string All() const {
    return status.error_message() + "\n" + status.error_details() + "\n" + response;
  }
};

// Calls a method of one request and one response by its path, "/rundlet.v1.CellarService/Pull".
// `authorization` is the value of that metadata; empty: it is not sent.
Answered CallAny(const std::shared_ptr<grpc::Channel>& channel, const std::string& path,
                 const std::string& authorization, const google::protobuf::Message& request);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_ANY_CALL_H_
