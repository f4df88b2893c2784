// rundlet-sync: one sync of a store, then it ends. `rundlet` runs it; it may also be run by itself.
#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <csignal>
#include <cstdlib>
#include <iostream>
#include <iterator>

#include "absl/strings/ascii.h"
#include "absl/time/clock.h"
#include "client/base/exit_code.h"
#include "client/store/store_home.h"
#include "client/sync/other_runs.h"
#include "client/sync/sync_run.h"

namespace rundlet::client {
namespace {

int Main(int argc, char** argv) {
  // What gRPC says of a handshake is for its makers; people are told in words of ours.
  setenv("GRPC_VERBOSITY", "NONE", /*overwrite=*/0);
  SyncOptions options;
  std::string budget;
  CLI::App app(
      "One sync of a device's book with its server. Ends with 0 done, 1 error, 4 not allowed, 5 "
      "not reached (what was "
      "entered is saved), 6 synced with something held or returned.",
      "rundlet-sync");
  app.add_option("--home", options.home, "the directory of the book; else as for rundlet");
  bool join = false;
  std::string method;
  ServerWords server;
  app.add_flag("--join", join, "join a cellar; the invitation is read from standard input");
  app.add_option("--device", options.device_name, "joining: what this device is called");
  app.add_option("--call", method,
                 "make this call of the server for rundlet; the request is read from standard "
                 "input");
  bool qr = false;
  app.add_flag("--qr", qr, "draw the text on standard input as a QR code, for rundlet");
  app.add_option("--server-address", server.address, "the server is here from now on: HOST:PORT");
  app.add_option("--server-fingerprint", server.fingerprint,
                 "the server's certificate is the one with this fingerprint from now on");
  app.add_flag("--server-authority", server.authority,
               "the server is known by the system's authorities from now on");
  app.add_option("--budget", budget, "the most time that it may take: 300ms");
  app.add_flag("--quiet", options.quiet, "give up at once where another sync is running");
  app.add_flag("--json", options.json, "print JSON");
  app.add_flag("--repair", options.repair,
               "fetch the whole journal again, to mend damaged entries");
  try {
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    std::cout << app.help();
    return kExitDone;
  } catch (const CLI::Error& error) {
    std::cerr << "rundlet-sync: " << error.what() << "\n";
    return kExitUsage;
  }
  if (!budget.empty() && !absl::ParseDuration(budget, &options.budget)) {
    std::cerr << "rundlet-sync: --budget: write a time such as 300ms\n";
    return kExitUsage;
  }
  const auto env = SystemEnvironment();
  if (!env.ok()) {
    std::cerr << "rundlet-sync: " << env.status().message() << "\n";
    return kExitError;
  }
  std::string input;
  if (join || qr || !method.empty()) {
    input.assign(std::istreambuf_iterator<char>(std::cin), std::istreambuf_iterator<char>());
  }
  if (join && absl::StripAsciiWhitespace(input).empty()) {
    std::cerr << "rundlet-sync: --join: write the invitation to standard input\n";
    return kExitUsage;
  }
  if (join) options.invitation = input;
  if (options.home.empty()) {
    const auto home = StoreHome::Locate(*env);
    if (!home.ok()) {
      std::cerr << "rundlet-sync: " << home.status().message() << "\n";
      return kExitError;
    }
    options.home = home->dir();
  }
  if (qr) return RunQr(input, std::cout);
  const absl::Time deadline = absl::Now() + options.budget;
  if (!method.empty()) return RunCall(options.home, method, input, deadline, std::cout);
  if (!server.address.empty() || !server.fingerprint.empty() || server.authority)
    return RunServer(options.home, server, deadline, std::cout);
  return RunSync(options, *env);
}

}  // namespace
}  // namespace rundlet::client

int main(int argc, char** argv) {
  // Whoever started it may not wait for its result.
  std::signal(SIGPIPE, SIG_IGN);
  return rundlet::client::Main(argc, argv);
}
