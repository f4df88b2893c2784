#include "server/metrics/call_meter.h"

#include <google/protobuf/descriptor.h>

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"

namespace rundlet::server {
namespace {

// As the specification of gRPC writes them, by number.
constexpr const char* kCodeNames[] = {
    "OK",        "CANCELLED",      "UNKNOWN",           "INVALID_ARGUMENT",   "DEADLINE_EXCEEDED",
    "NOT_FOUND", "ALREADY_EXISTS", "PERMISSION_DENIED", "RESOURCE_EXHAUSTED", "FAILED_PRECONDITION",
    "ABORTED",   "OUT_OF_RANGE",   "UNIMPLEMENTED",     "INTERNAL",           "UNAVAILABLE",
    "DATA_LOSS", "UNAUTHENTICATED"};

std::string NameOf(const std::string& path) {
  return path.empty() ? "other" : path.substr(path.rfind('/') + 1);
}

}  // namespace

class CallMeter::Interceptor : public grpc::experimental::Interceptor {
 public:
  explicit Interceptor(Method& method) : method_(method) {}

  void Intercept(grpc::experimental::InterceptorBatchMethods* methods) override {
    using grpc::experimental::InterceptionHookPoints;
    if (methods->QueryInterceptionHookPoint(InterceptionHookPoints::PRE_SEND_STATUS)) {
      const auto code = static_cast<size_t>(methods->GetSendStatus().error_code());
      method_.by_code[std::min(code, kCodes - 1)].Add();
      method_.seconds.Observe(absl::Now() - begun_);
    }
    methods->Proceed();
  }

 private:
  Method& method_;
  const absl::Time begun_ = absl::Now();
};

class CallMeter::Factory : public grpc::experimental::ServerInterceptorFactoryInterface {
 public:
  explicit Factory(CallMeter& meter) : meter_(meter) {}

  grpc::experimental::Interceptor* CreateServerInterceptor(
      grpc::experimental::ServerRpcInfo* info) override {
    return new CallMeter::Interceptor(meter_.MethodOf(info->method()));  // gRPC owns it
  }

 private:
  CallMeter& meter_;
};

CallMeter::CallMeter(absl::Span<const char* const> services) {
  static_assert(std::size(kCodeNames) == kCodes);
  methods_.try_emplace("");
  for (const char* name : services) {
    const auto* service =
        google::protobuf::DescriptorPool::generated_pool()->FindServiceByName(name);
    for (int i = 0; i < service->method_count(); ++i)
      methods_.try_emplace(
          absl::StrCat("/", service->full_name(), "/", service->method(i)->name()));
  }
}

std::unique_ptr<grpc::experimental::ServerInterceptorFactoryInterface> CallMeter::NewFactory() {
  return std::make_unique<Factory>(*this);
}

CallMeter::Method& CallMeter::MethodOf(absl::string_view path) {
  const auto found = methods_.find(path);
  return found == methods_.end() ? methods_.begin()->second : found->second;
}

void CallMeter::AddTo(Registry& registry) const {
  registry.Counters("rundlet_calls", "Calls that ended, by method and gRPC code.");
  for (const auto& [path, method] : methods_) {
    for (size_t code = 0; code < kCodes; ++code)
      registry.Add(method.by_code[code], {{"method", NameOf(path)}, {"code", kCodeNames[code]}});
  }
  registry.Histograms("rundlet_call_duration_seconds",
                      "How long calls took on the server, by method.");
  for (const auto& [path, method] : methods_)
    registry.Add(method.seconds, {{"method", NameOf(path)}});
}

}  // namespace rundlet::server
