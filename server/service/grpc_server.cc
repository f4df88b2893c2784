#include "server/service/grpc_server.h"

#include <grpcpp/ext/proto_server_reflection_plugin.h>
#include <grpcpp/health_check_service_interface.h>
#include <grpcpp/server_builder.h>

#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/health_client.h"
#include "server/listen_address.h"
#include "server/log/log.h"
#include "server/pg/pq_status.h"
#include "server/service/server_metrics.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {
namespace {

constexpr size_t kMaxWaitingCellars = 4096;
constexpr int kMaxMessageBytes = 4 * 1024 * 1024;
constexpr size_t kMaxWireBytes = size_t{512} * 1024 * 1024;  // that gRPC itself may hold
constexpr absl::Duration kProbeTimeout = absl::Seconds(2);

ConnectionPool::Options PoolOptions(const GrpcServer::Options& options) {
  return {.connection_string = options.connection_string,
          .max_connections = options.readers + options.writers + options.joiners,
          .transaction_pooling = options.transaction_pooling,
          .prepare = CellarTransaction::Prepare};
}

ConnectionPool::Options ProbePoolOptions(const GrpcServer::Options& options) {
  return {.connection_string = options.connection_string,
          .max_connections = 1,
          .application_name = "rundletd-health",
          .statement_timeout = kProbeTimeout,
          .transaction_pooling = options.transaction_pooling};
}

}  // namespace

GrpcServer::GrpcServer(Options options)
    : options_(std::move(options)),
      pool_(PoolOptions(options_)),
      probe_pool_(ProbePoolOptions(options_)),
      cache_(options_.cache_bytes),
      writer_(pool_, cache_, options_.now),
      writers_(options_.writers, kMaxWaitingCellars),
      pushes_(writer_, writers_, options_.now),
      authenticator_(pool_, options_.now,
                     {.keep = options_.token_keep, .failures = options_.failed_calls}),
      limits_(options_.limits, options_.now),
      admission_(authenticator_, limits_, options_.now),
      readers_(options_.readers, options_.waiting_calls),
      join_limits_(options_.join_limits, options_.now),
      joiners_(options_.joiners, options_.waiting_joins),
      call_meter_({v1::CellarService::service_full_name(), v1::JoinService::service_full_name()}),
      service_({pool_, cache_, pushes_, readers_, authenticator_, admission_, options_.now,
                push_meter_, options_.signing_key.has_value() ? &*options_.signing_key : nullptr}),
      join_service_({pool_, joiners_, join_limits_, admission_, authenticator_, options_.now,
                     options_.random, options_.failed_joins}),
      feed_({pool_, cache_, authenticator_, limits_, options_.now, options_.zone}) {
  call_meter_.AddTo(metrics_);
  push_meter_.AddTo(metrics_);
  AddParts({pool_, cache_, writer_, pushes_, readers_}, metrics_);
  if (!options_.data_dir.empty()) AddAuditAge(options_.data_dir, options_.now, metrics_);
}

absl::StatusOr<std::unique_ptr<HttpServer>> GrpcServer::Listen(const std::string& listen,
                                                               HttpServer::Handler handler) const {
  // Programs on this machine need not know the certificate; others are not let in without.
  const bool is_open = !IsLoopback(HostOf(listen));
  return HttpServer::Start(listen, is_open ? &options_.tls : nullptr, std::move(handler));
}

HttpResponse GrpcServer::AnswerMetrics(const HttpRequest& request) const {
  if (request.path != "/metrics")
    return {.status = 404, .body = "there is nothing here: /metrics\n"};
  return {.content_type = Registry::kContentType, .body = metrics_.Print()};
}

absl::Status GrpcServer::StartHttp() {
  if (!options_.feed_listen.empty()) {
    auto feed = Listen(options_.feed_listen,
                       [this](const HttpRequest& request) { return feed_.Answer(request); });
    if (!feed.ok()) return feed.status();
    feed_server_ = *std::move(feed);
  }
  if (!options_.metrics_listen.empty()) {
    auto metrics = Listen(options_.metrics_listen,
                          [this](const HttpRequest& request) { return AnswerMetrics(request); });
    if (!metrics.ok()) return metrics.status();
    metrics_server_ = *std::move(metrics);
  }
  return absl::OkStatus();
}

bool GrpcServer::ProbeDatabase() {
  const absl::StatusOr<ConnectionPool::Lease> lease =
      probe_pool_.Borrow(absl::Now() + kProbeTimeout);
  const absl::Status answered =
      lease.ok()
          ? Guard("probe the database", [&] { pqxx::nontransaction(**lease).exec1("select 1"); })
          : lease.status();
  if (!answered.ok()) Log(Level::kWarning, "probe_failed", {{"error", answered}});
  return answered.ok();
}

absl::StatusOr<std::unique_ptr<GrpcServer>> GrpcServer::Start(Options options) {
  std::unique_ptr<GrpcServer> result(new GrpcServer(std::move(options)));
  grpc::EnableDefaultHealthCheckService(true);
  grpc::reflection::InitProtoReflectionServerBuilderPlugin();
  grpc::ServerBuilder builder;
  builder.AddListeningPort(result->options_.listen, CredentialsToServe(result->options_.tls),
                           &result->port_);
  builder.RegisterService(&result->service_);
  builder.RegisterService(&result->join_service_);
  builder.AddChannelArgument(GRPC_ARG_MAX_CONCURRENT_STREAMS,
                             result->options_.streams_per_connection);
  builder.SetMaxReceiveMessageSize(kMaxMessageBytes);
  builder.SetResourceQuota(grpc::ResourceQuota("rundletd").Resize(kMaxWireBytes));
  std::vector<std::unique_ptr<grpc::experimental::ServerInterceptorFactoryInterface>> around;
  around.push_back(result->call_meter_.NewFactory());
  builder.experimental().SetInterceptorCreators(std::move(around));
  // Without this a second server would share the port in silence, and take half of the calls.
  builder.AddChannelArgument(GRPC_ARG_ALLOW_REUSEPORT, 0);
  result->server_ = builder.BuildAndStart();
  if (result->server_ == nullptr || result->port_ == 0) {
    return absl::FailedPreconditionError(
        absl::StrCat("cannot listen on ", result->options_.listen,
                     ": is another server running there? Stop it or choose another port"));
  }
  if (const absl::Status http = result->StartHttp(); !http.ok()) return http;
  grpc::HealthCheckServiceInterface* health = result->server_->GetHealthCheckService();
  result->health_ = std::make_unique<HealthMonitor>(HealthMonitor::Options{
      .probe = [server = result.get()] { return server->ProbeDatabase(); },
      .tell =
          [health](bool healthy) {
            health->SetServingStatus(v1::CellarService::service_full_name(), healthy);
            health->SetServingStatus(healthy);
            Log(Level::kInfo, "health", {{"serving", healthy}});
          }});
  return result;
}

bool GrpcServer::Answers(absl::Duration patience) const {
  return AskHealth(server_->InProcessChannel({}), patience).has_value();
}

GrpcServer::~GrpcServer() { Stop(absl::ZeroDuration()); }

void GrpcServer::Stop(absl::Duration patience) {
  if (stopped_) return;
  stopped_ = true;
  health_ = nullptr;  // says NOT_SERVING
  feed_server_ = nullptr;
  metrics_server_ = nullptr;
  if (server_ != nullptr) {
    server_->GetHealthCheckService()->Shutdown();
    server_->Shutdown(absl::ToChronoTime(absl::Now() + patience));
    server_->Wait();
  }
  readers_.Stop();
  joiners_.Stop();
  writers_.Stop();
  server_ = nullptr;
}

}  // namespace rundlet::server
