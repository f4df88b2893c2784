#ifndef RUNDLET_SERVER_SERVICE_GRPC_SERVER_H_
#define RUNDLET_SERVER_SERVICE_GRPC_SERVER_H_

#include <grpcpp/server.h>

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "core/evidence/signing_key.h"
#include "server/cellar/batch_writer.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push_queue.h"
#include "server/http/calendar_feed.h"
#include "server/http/http_server.h"
#include "server/limits/caller_limits.h"
#include "server/metrics/call_meter.h"
#include "server/metrics/registry.h"
#include "server/pg/connection_pool.h"
#include "server/random.h"
#include "server/service/admission.h"
#include "server/service/authenticator.h"
#include "server/service/cellar_service.h"
#include "server/service/health_monitor.h"
#include "server/service/join_service.h"
#include "server/service/push_meter.h"
#include "server/tls/server_tls.h"
#include "server/worker_pool.h"

namespace rundlet::server {

// A whole server on one database: the service with its health and reflection, and everything behind
// it. Any number of them may share a database.
class GrpcServer {
 public:
  struct Options {
    std::string listen;  // "127.0.0.1:7117"; port 0: any that is free
    std::string connection_string;
    bool transaction_pooling = false;  // see ConnectionPool
    std::function<absl::Time()> now;
    int readers = 8;  // threads for the front of every call, and for reading ones to their end
    int writers = 4;  // threads that write batches, each of another cellar
    int joiners = 1;  // threads that let devices in
    // How many calls may wait for a reader, each with its request of up to 4 MiB; and how many to
    // join. No address may have so many under way that it could keep others out; see limits.
    size_t waiting_calls = 512;
    size_t waiting_joins = 64;
    size_t cache_bytes = size_t{512} * 1024 * 1024;
    absl::Duration token_keep = absl::Seconds(5);
    std::string feed_listen;                      // for the calendar feed, over HTTP; empty: none
    absl::TimeZone zone = absl::LocalTimeZone();  // of the feed's days
    std::string metrics_listen;                   // for the page of metrics; empty: none
    std::string data_dir;                         // where the audits' record is; empty: nowhere
    std::optional<evidence::SigningKey> signing_key;  // for checkpoints; without it none are given
    ServerTls tls;  // without a certificate it serves in plain text
    std::function<void(absl::Span<uint8_t>)> random = FillRandom;  // for tokens
    CallerLimitOptions limits;
    CallerLimitOptions join_limits = {.address_calls = {.per_second = 5, .burst = 50},
                                      .address_in_flight = 8};
    FailureDelays::Options failed_calls;  // with tokens that are refused
    FailureDelays::Options failed_joins = {.free = 10, .first_delay = absl::Seconds(2)};
    int streams_per_connection = 256;  // calls that one connection may have under way
  };

  // Serves when it returns. FailedPrecondition: the address is in use or cannot be listened on.
  static absl::StatusOr<std::unique_ptr<GrpcServer>> Start(Options options);

  ~GrpcServer();  // stops it, without patience
  GrpcServer(const GrpcServer&) = delete;
  GrpcServer& operator=(const GrpcServer&) = delete;

  int port() const { return port_; }
  int feed_port() const { return feed_server_ == nullptr ? 0 : feed_server_->port(); }

  int metrics_port() const { return metrics_server_ == nullptr ? 0 : metrics_server_->port(); }

  // Whether the gRPC server answers a call from within this process in time; also where the answer
  // is that the database is away.
  bool Answers(absl::Duration patience) const;

  // Says NOT_SERVING, takes no calls any more, and lets those under way end, at most until
  // `patience` has passed; those that have not are cancelled. Calls after the first do nothing.
  void Stop(absl::Duration patience);

 private:
  explicit GrpcServer(Options options);
  bool ProbeDatabase();
  absl::StatusOr<std::unique_ptr<HttpServer>> Listen(const std::string& listen,
                                                     HttpServer::Handler handler) const;
  absl::Status StartHttp();
  HttpResponse AnswerMetrics(const HttpRequest& request) const;

  const Options options_;
  ConnectionPool pool_;
  ConnectionPool probe_pool_;  // so that a probe does not wait for the load
  CellarCache cache_;
  BatchWriter writer_;
  WorkerPool writers_;
  PushQueue pushes_;
  Authenticator authenticator_;
  CallerLimits limits_;
  Admission admission_;
  WorkerPool readers_;
  CallerLimits join_limits_;
  WorkerPool joiners_;
  PushMeter push_meter_;
  CallMeter call_meter_;
  Registry metrics_;
  CellarService service_;
  JoinService join_service_;
  CalendarFeed feed_;
  std::unique_ptr<HttpServer> feed_server_;
  std::unique_ptr<HttpServer> metrics_server_;
  std::unique_ptr<grpc::Server> server_;
  std::unique_ptr<HealthMonitor> health_;
  int port_ = 0;
  bool stopped_ = false;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_GRPC_SERVER_H_
