// rundletd: the server of a cellar's book.
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <string>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/admin_commands.h"
#include "server/health_client.h"
#include "server/log/log.h"
#include "server/manual.h"
#include "server/private_file.h"
#include "server/random.h"
#include "server/serve.h"
#include "server/tls/certificate.h"

namespace {

using rundlet::server::AdminCommands;

constexpr int kError = 1;
constexpr int kUsage = 2;

// So that no thread that a library starts is ended by them; see Serve.
void BlockStopSignals() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  pthread_sigmask(SIG_BLOCK, &signals, nullptr);
  std::signal(SIGPIPE, SIG_IGN);
}

// A single command can be interrupted like any other program.
void LetStopSignalsThrough() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  pthread_sigmask(SIG_UNBLOCK, &signals, nullptr);
}

int ExitCodeOf(const absl::Status& status) {
  if (status.ok()) return 0;
  std::cerr << "error: " << status.message() << '\n';
  return absl::IsInvalidArgument(status) ? kUsage : kError;
}

// What rundletd is told on its command line, beside its commands.
void AddOptions(CLI::App& app, rundlet::server::ServeOptions& options) {
  options.listen = "127.0.0.1:7117";
  options.database.data_dir = rundlet::server::DefaultDataDir();
  options.random = rundlet::server::FillRandom;
  app.add_option("--listen", options.listen,
                 "Address to serve on, as in 0.0.0.0:7117; port 0 takes any that is free")
      ->capture_default_str();
  app.add_option("--address", options.address,
                 "HOST:PORT by which devices reach the server, for invitations; else as --listen");
  app.add_option(
      "--feed", options.feed_listen,
      "Address of the calendar feed over HTTP, such as 127.0.0.1:7118; none if left out");
  app.add_option(
      "--metrics", options.metrics_listen,
      "Address of the page of metrics over HTTP, such as 127.0.0.1:7119: /metrics; none if "
      "left out");
  app.add_option("--data", options.database.data_dir,
                 "Directory of the private database, keys and certificate [RUNDLET_DATA]")
      ->capture_default_str();
  app.add_option("--database", options.database.connection_string,
                 "Connection string of a PostgreSQL database to use instead [RUNDLET_DATABASE]")
      ->envname("RUNDLET_DATABASE");
  app.add_flag("--transaction-pooling", options.database.transaction_pooling,
               "--database is PgBouncer in transaction mode, or its like: keep nothing in sessions")
      ->envname("RUNDLET_TRANSACTION_POOLING");
  app.add_option("--port-file", options.port_file,
                 "File that gets the port once the server serves");
  app.add_option("--signing-key", options.signing_key_file,
                 "File of the key that signs checkpoints; else checkpoint.key in --data");
  app.add_option("--certificate", options.tls.certificate_file,
                 "File of the certificate (PEM); else tls.crt in --data, made if it is not there");
  app.add_option("--certificate-key", options.tls.key_file,
                 "File of its key (PEM), which its owner alone may read; else tls.key in --data");
  app.add_flag("--plain-text", options.tls.plain_text,
               "No TLS: everything is open to who listens on the line; on loopback only");
}

// How much it takes on.
void AddLimits(CLI::App& app, rundlet::server::ServeLimits& limits, double& drain_seconds) {
  constexpr char kGroup[] = "Limits of serve (see docs/operations.md)";
  const auto add = [&](const char* name, auto& value, const char* help) {
    app.add_option(name, value, help)
        ->capture_default_str()
        ->check(CLI::PositiveNumber)
        ->group(kGroup);
  };
  add("--readers", limits.readers, "Threads that answer calls, and connections for them");
  add("--writers", limits.writers, "Cellars that are written at a time, and connections for them");
  add("--waiting-calls", limits.waiting_calls, "Calls that may wait for a thread");
  add("--cache-mib", limits.cache_mib, "Memory for cellars that were used last, in MiB");
  add("--address-in-flight", limits.address_in_flight, "Calls under way from one address");
  add("--address-calls", limits.address_calls, "Calls a second from one address");
  add("--device-in-flight", limits.device_in_flight, "Calls under way from one device");
  add("--device-calls", limits.device_calls, "Calls a second from one device");
  add("--drain", drain_seconds, "Seconds for calls that are under way when it is told to stop");
}

absl::Status PrintCertificate(const rundlet::server::ServeOptions& options) {
  const auto reach = rundlet::server::FindReach(options, absl::Now());
  if (!reach.ok()) return reach.status();
  if (reach->certificate_pem.empty())
    return absl::NotFoundError("this server has no certificate: it serves in plain text");
  const auto certificate = rundlet::server::ReadCertificate(reach->certificate_pem);
  if (!certificate.ok()) return certificate.status();
  std::cout << rundlet::server::PrintFingerprint(certificate->fingerprint) << '\n';
  return absl::OkStatus();
}

// By which the server is known that was started with these options; empty for plain text.
absl::StatusOr<std::string> CertificateOf(const rundlet::server::ServeOptions& options) {
  if (options.tls.plain_text) return "";
  if (!options.tls.certificate_file.empty())
    return rundlet::server::ReadShared(options.tls.certificate_file);
  const auto reach = rundlet::server::ReadReach(options.database.data_dir);
  if (reach.ok()) return reach->certificate_pem;
  if (!absl::IsNotFound(reach.status())) return reach.status();
  return absl::NotFoundError(absl::StrCat("no server was started on ", options.database.data_dir,
                                          " yet: name its directory with --data"));
}

absl::Status PrintHealth(const rundlet::server::ServeOptions& options) {
  const absl::StatusOr<std::string> certificate = CertificateOf(options);
  if (!certificate.ok()) return certificate.status();
  const absl::Status status =
      rundlet::server::CheckHealth(options.listen, *certificate, absl::Seconds(3));
  if (status.ok()) std::cout << "serving\n";
  return status;
}

}  // namespace

int main(int argc, char** argv) {
  BlockStopSignals();
  CLI::App app(
      "The server of Rundlet, the shared cellar book.\n"
      "Without a command it serves.",
      "rundletd");
  app.set_version_flag("--version", absl::StrCat("rundletd ", RUNDLET_VERSION));
  app.fallthrough();
  app.require_subcommand(0, 1);
  rundlet::server::UseManual(app);

  rundlet::server::ServeOptions options;
  AddOptions(app, options);
  double drain_seconds = absl::ToDoubleSeconds(options.limits.drain);
  AddLimits(app, options.limits, drain_seconds);
  app.add_subcommand("manual", "Print the page of the manual, as man reads it")
      ->group("")
      ->callback([&app] {
        std::cout << rundlet::server::PrintManual(app);
        std::exit(std::cout.flush() ? 0 : kError);
      });
  CLI::App* serve = app.add_subcommand("serve", "Serve until SIGTERM or SIGINT (the default)");
  CLI::App* health = app.add_subcommand("health", "Ask the server at --listen whether it serves");
  CLI::App* certificate = app.add_subcommand(
      "certificate", "Print the SHA-256 fingerprint of the server's certificate");
  AdminCommands admin(
      {.database = &options.database,
       .now = absl::Now,
       .random = options.random,
       .reach = [&options] { return rundlet::server::FindReach(options, absl::Now()); },
       .terminal = isatty(STDOUT_FILENO) == 1});
  admin.AddTo(app);

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    const int code = app.exit(error);
    return code == 0 ? 0 : kUsage;
  }
  if (admin.chosen()) {
    LetStopSignalsThrough();
    // Results go to stdout; what the database does on the way is of no interest.
    rundlet::server::ConfigureLog({.min_level = rundlet::server::Level::kWarning});
    const absl::StatusOr<int> code = admin.Run(std::cout);
    return code.ok() ? *code : ExitCodeOf(code.status());
  }
  if (*health || *certificate) {
    LetStopSignalsThrough();
    return ExitCodeOf(*health ? PrintHealth(options) : PrintCertificate(options));
  }
  (void)serve;
  options.limits.drain = absl::Seconds(drain_seconds);
  if (options.signing_key_file.empty())
    options.signing_key_file = options.database.data_dir + "/checkpoint.key";
  return ExitCodeOf(rundlet::server::Serve(options));
}
