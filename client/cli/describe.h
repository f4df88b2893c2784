#ifndef RUNDLET_CLIENT_CLI_DESCRIBE_H_
#define RUNDLET_CLIENT_CLI_DESCRIBE_H_

#include <string>
#include <vector>

#include "client/cli/command.h"
#include "core/manual/page.h"

namespace rundlet::client {

// The words of a command, for help, manual and completion.
manual::Verb DescribeCommand(const CommandSpec& spec);

// All pages of the manual: rundlet(1), one for the commands that begin with the same word
// ("rundlet-gear"), one for each topic.
std::vector<manual::Page> ManualPages();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_DESCRIBE_H_
