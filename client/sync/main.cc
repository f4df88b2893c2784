// rundlet-sync: one sync of a store, then it ends. `rundlet` runs it; it may also be run by itself.
#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <csignal>
#include <iostream>
#include <iterator>

#include "absl/strings/ascii.h"
#include "client/base/exit_code.h"
#include "client/store/store_home.h"
#include "client/sync/sync_run.h"

namespace rundlet::client {
namespace {

int Main(int argc, char** argv) {
  SyncOptions options;
  std::string budget;
  CLI::App app(
      "One sync of a device's book with its server. Ends with 0 done, 1 error, 4 not allowed, 5 "
      "not reached (what was "
      "entered is saved), 6 synced with something held or returned.",
      "rundlet-sync");
  app.add_option("--home", options.home, "the directory of the book; else as for rundlet");
  app.add_option("--join", options.join_server,
                 "join the cellar of this server; the token is read from standard input");
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
  if (!options.join_server.empty()) {
    const std::string token((std::istreambuf_iterator<char>(std::cin)),
                            std::istreambuf_iterator<char>());
    options.join_token = std::string(absl::StripAsciiWhitespace(token));
  }
  if (options.home.empty()) {
    const auto home = StoreHome::Locate(*env);
    if (!home.ok()) {
      std::cerr << "rundlet-sync: " << home.status().message() << "\n";
      return kExitError;
    }
    options.home = home->dir();
  }
  return RunSync(options, *env);
}

}  // namespace
}  // namespace rundlet::client

int main(int argc, char** argv) {
  // Whoever started it may not wait for its result.
  std::signal(SIGPIPE, SIG_IGN);
  return rundlet::client::Main(argc, argv);
}
