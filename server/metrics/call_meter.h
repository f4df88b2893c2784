#ifndef RUNDLET_SERVER_METRICS_CALL_METER_H_
#define RUNDLET_SERVER_METRICS_CALL_METER_H_

#include <grpcpp/support/server_interceptor.h>
#include <grpcpp/support/status.h>

#include <array>
#include <map>
#include <memory>
#include <string>

#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "server/metrics/registry.h"

namespace rundlet::server {

// Counts the calls that end, by method and code, and how long they took from the moment at which
// gRPC hands them over until their answer is ready. Stands around every call as an interceptor, so
// no handler knows of it. Thread-safe.
class CallMeter {
 public:
  // Of these services, by their full names; everything else (health, reflection) is counted as one
  // method, "other".
  explicit CallMeter(absl::Span<const char* const> services);

  // For ServerBuilder. This must outlive the server.
  std::unique_ptr<grpc::experimental::ServerInterceptorFactoryInterface> NewFactory();

  void AddTo(Registry& registry) const;

 private:
  static constexpr size_t kCodes = grpc::StatusCode::UNAUTHENTICATED + 1;
  struct Method {
    std::array<Counter, kCodes> by_code;
    Histogram seconds{kWaitBounds};
  };
  class Interceptor;
  class Factory;

  Method& MethodOf(absl::string_view path);

  // By path ("/rundlet.v1.CellarService/Push"); "" is the other ones. Never changes its keys.
  std::map<std::string, Method, std::less<>> methods_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_METRICS_CALL_METER_H_
