#include "server/serve.h"

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

namespace rundlet::server {
namespace {

constexpr absl::Duration kPatience = absl::Seconds(10);  // for calls that are under way at the end

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

void AwaitStopSignal() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  int signal = 0;
  sigwait(&signals, &signal);
  Log(Level::kInfo, "stopping", {{"signal", signal == SIGTERM ? "SIGTERM" : "SIGINT"}});
}

}  // namespace

absl::Status Serve(const ServeOptions& options) {
  absl::Status status = CheckListenAddress(options.listen);
  if (status.ok()) status = CheckAddressFree(options.listen);
  if (status.ok() && !options.feed_listen.empty()) {
    status = CheckListenAddress(options.feed_listen);
    if (status.ok()) status = CheckAddressFree(options.feed_listen);
  }
  if (!status.ok()) return status;
  absl::StatusOr<Database> database = Database::OpenToServe(options.database);
  if (!database.ok()) return database.status();
  const auto key = LoadOrMakeSigningKey(options.signing_key_file, options.random);
  if (!key.ok()) return key.status();
  absl::StatusOr<std::unique_ptr<GrpcServer>> server =
      GrpcServer::Start({.listen = options.listen,
                         .connection_string = database->connection_string(),
                         .now = absl::Now,
                         .feed_listen = options.feed_listen,
                         .signing_key = *key});
  if (!server.ok()) return server.status();
  if (!options.port_file.empty()) status = WritePortFile(options.port_file, (*server)->port());
  if (status.ok()) {
    Log(Level::kInfo, "ready", {{"listen", options.listen}, {"port", (*server)->port()}});
    if ((*server)->feed_port() != 0)
      Log(Level::kInfo, "calendar_feed",
          {{"listen", options.feed_listen}, {"port", (*server)->feed_port()}});
    AwaitStopSignal();
  }
  (*server)->Stop(kPatience);
  *server = nullptr;  // with its connections, before the database goes
  const absl::Status closed = database->Close();
  Log(Level::kInfo, "stopped");
  return status.ok() ? closed : status;
}

}  // namespace rundlet::server
