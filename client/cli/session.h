#ifndef RUNDLET_CLIENT_CLI_SESSION_H_
#define RUNDLET_CLIENT_CLI_SESSION_H_

#include <ostream>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/base/environment.h"
#include "client/base/exit_code.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// One run of `rundlet`.
struct Session {
  const Environment& env;
  std::vector<std::string>
      after_dashes;  // what stood behind "--", for the command that asks for it
  int exit_code = kExitDone;

  std::ostream& out() const { return *env.out; }
  std::ostream& err() const { return *env.err; }
  size_t columns() const { return env.columns; }  // 0: lines may be as long as they are
};

// Opens the cellar and says on stderr what is the matter with it, if anything: damaged entries, or
// entries of a kind that this build does not know, at which its book stops.
absl::StatusOr<Cellar> OpenAndReport(Session& session);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_SESSION_H_
