// rundlet: the client's command line. It links no network library, so that it starts at once.
#include <csignal>
#include <iostream>

#include "client/base/exit_code.h"
#include "client/cli/run.h"

int main(int argc, char** argv) {
  // A closed pipe is an error to be told, not a way to die in the middle of something.
  std::signal(SIGPIPE, SIG_IGN);
  const auto env = rundlet::client::SystemEnvironment();
  if (!env.ok()) {
    std::cerr << "rundlet: " << env.status().message() << "\n";
    return rundlet::client::kExitError;
  }
  return rundlet::client::Run(std::vector<std::string>(argv + 1, argv + argc), *env);
}
