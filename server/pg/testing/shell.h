#ifndef RUNDLET_SERVER_PG_TESTING_SHELL_H_
#define RUNDLET_SERVER_PG_TESTING_SHELL_H_

#include <string>

namespace rundlet::server {

// Runs a command of the shell, and returns what it prints on both outputs.
std::string Shell(const std::string& command);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_TESTING_SHELL_H_
