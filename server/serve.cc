#include "server/serve.h"

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <memory>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/listen_address.h"
#include "server/log/log.h"
#include "server/service/grpc_server.h"
#include "server/signing_key_file.h"
#include "server/systemd/service_manager.h"

namespace rundlet::server {
namespace {

// Under another name first, so that whoever waits for the file finds it whole.
absl::Status WritePortFile(const std::string& path, int port) {
  const std::string draft = absl::StrCat(path, ".new");
  std::ofstream file(draft, std::ios::trunc);
  file << port << '\n';
  file.close();
  if (!file || std::rename(draft.c_str(), path.c_str()) != 0) {
    return absl::PermissionDeniedError(absl::StrCat("cannot write the port to ", path));
  }
  return absl::OkStatus();
}

absl::Status CheckAddresses(const ServeOptions& options) {
  for (const std::string& address : {options.listen, options.feed_listen, options.metrics_listen}) {
    if (address.empty()) continue;
    absl::Status status = CheckListenAddress(address, options.tls.plain_text);
    if (status.ok()) status = CheckAddressFree(address);
    if (!status.ok()) return status;
  }
  return absl::OkStatus();
}

// Whether the options say how the server is known, so that nothing is made.
bool IsTold(const TlsOptions& tls) {
  return tls.plain_text || !tls.certificate_file.empty() || !tls.key_file.empty();
}

absl::StatusOr<ServerTls> LoadTls(const ServeOptions& options, absl::Time now) {
  TlsOptions tls = options.tls;
  tls.data_dir = options.database.data_dir;
  tls.listen = options.listen;
  return LoadOrMakeTls(tls, now);
}

// Leaves behind how the server is reached, for those who wait for it and for commands beside it.
absl::Status Announce(const ServeOptions& options, const ServerTls& tls, int port) {
  if (tls.plain_text()) {
    Log(Level::kWarning, "plain_text", {{"note", "whoever listens on the line reads everything"}});
  } else {
    Log(Level::kInfo, "certificate", {{"sha256", PrintFingerprint(tls.fingerprint)}});
  }
  const absl::Status status =
      WriteReach(options.database.data_dir, ReachOf(options.listen, port, options.address, tls));
  if (!status.ok() || options.port_file.empty()) return status;
  return WritePortFile(options.port_file, port);
}

// A rate that is set keeps the relation of its burst to it.
void SetPerSecond(double per_second, Rate& rate) {
  rate.burst *= per_second / rate.per_second;
  rate.per_second = per_second;
}

void SetLimits(const ServeLimits& limits, GrpcServer::Options& options) {
  options.readers = limits.readers;
  options.writers = limits.writers;
  options.waiting_calls = static_cast<size_t>(limits.waiting_calls);
  options.cache_bytes = static_cast<size_t>(limits.cache_mib) << 20;
  options.limits.address_in_flight = limits.address_in_flight;
  SetPerSecond(limits.address_calls, options.limits.address_calls);
  SetPerSecond(limits.device_calls, options.limits.device_calls);
  options.limits.device_in_flight = limits.device_in_flight;
}

// Until `patience` has passed; 0 if no signal came.
int AwaitSignal(const sigset_t& signals, absl::Duration patience) {
  int signal = 0;
  if (patience == absl::InfiniteDuration()) {
    sigwait(&signals, &signal);
    return signal;
  }
  const timespec timeout = absl::ToTimespec(patience);
  return std::max(0, sigtimedwait(&signals, nullptr, &timeout));
}

// Gives the service manager signs of life meanwhile, as long as the server answers.
void AwaitStopSignal(const GrpcServer& server, const ServiceManager& manager) {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  int signal = 0;
  while ((signal = AwaitSignal(signals, manager.alive_every())) == 0) {
    if (server.Answers(manager.alive_every())) {
      manager.Alive();
    } else {
      Log(Level::kError, "unresponsive", {{"note", "gRPC does not answer a call from within"}});
    }
  }
  Log(Level::kInfo, "stopping", {{"signal", signal == SIGTERM ? "SIGTERM" : "SIGINT"}});
}

}  // namespace

absl::StatusOr<Reach> FindReach(const ServeOptions& options, absl::Time now) {
  const bool is_told = IsTold(options.tls);
  absl::StatusOr<Reach> left = ReadReach(options.database.data_dir);
  if (left.ok() && !is_told) {
    if (!options.address.empty()) left->address = options.address;
    return left;
  }
  if (!is_told && !absl::IsNotFound(left.status())) return left.status();
  const absl::StatusOr<ServerTls> tls = LoadTls(options, now);
  if (!tls.ok()) return tls.status();
  const int port = PortOf(options.listen);
  if (port == 0 && options.address.empty())
    return absl::InvalidArgumentError(
        "where is the server? Say --address HOST:PORT, or start it before you invite");
  return ReachOf(options.listen, port, options.address, *tls);
}

absl::Status Serve(const ServeOptions& options) {
  const ServiceManager manager = ServiceManager::FromEnvironment();
  absl::Status status = CheckAddresses(options);
  if (!status.ok()) return status;
  // What is given is looked at first; what is made comes into the directory that the database
  // makes.
  if (IsTold(options.tls)) status = LoadTls(options, absl::Now()).status();
  if (!status.ok()) return status;
  absl::StatusOr<Database> database = Database::OpenToServe(options.database);
  if (!database.ok()) return database.status();
  const absl::StatusOr<ServerTls> tls = LoadTls(options, absl::Now());
  if (!tls.ok()) return tls.status();
  const auto key = LoadOrMakeSigningKey(options.signing_key_file, options.random);
  if (!key.ok()) return key.status();
  GrpcServer::Options parts = {.listen = options.listen,
                               .connection_string = database->connection_string(),
                               .transaction_pooling = options.database.transaction_pooling,
                               .now = absl::Now,
                               .feed_listen = options.feed_listen,
                               .metrics_listen = options.metrics_listen,
                               .data_dir = options.database.data_dir,
                               .signing_key = *key,
                               .tls = *tls,
                               .random = options.random};
  SetLimits(options.limits, parts);
  absl::StatusOr<std::unique_ptr<GrpcServer>> server = GrpcServer::Start(std::move(parts));
  if (!server.ok()) return server.status();
  status = Announce(options, *tls, (*server)->port());
  if (status.ok()) {
    Log(Level::kInfo, "ready", {{"listen", options.listen}, {"port", (*server)->port()}});
    if ((*server)->feed_port() != 0)
      Log(Level::kInfo, "calendar_feed",
          {{"listen", options.feed_listen}, {"port", (*server)->feed_port()}});
    if ((*server)->metrics_port() != 0)
      Log(Level::kInfo, "metrics",
          {{"listen", options.metrics_listen}, {"port", (*server)->metrics_port()}});
    manager.Ready();
    AwaitStopSignal(**server, manager);
    manager.Stopping();
  }
  (*server)->Stop(options.limits.drain);
  *server = nullptr;  // with its connections, before the database goes
  const absl::Status closed = database->Close();
  Log(Level::kInfo, "stopped");
  return status.ok() ? closed : status;
}

}  // namespace rundlet::server
