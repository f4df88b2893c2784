#ifndef RUNDLET_CLIENT_CLI_RUN_H_
#define RUNDLET_CLIENT_CLI_RUN_H_

#include <string>
#include <vector>

#include "client/base/environment.h"

namespace rundlet::client {

// Runs one command line, without the program's name. Returns the exit code
// (client/base/exit_code.h).
int Run(const std::vector<std::string>& args, const Environment& env);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_RUN_H_
