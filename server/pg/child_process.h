#ifndef RUNDLET_SERVER_PG_CHILD_PROCESS_H_
#define RUNDLET_SERVER_PG_CHILD_PROCESS_H_

#include <sys/types.h>

#include <optional>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// A user of the operating system, as a child process runs as one.
struct OsUser {
  std::string name;
  uid_t uid = 0;
  gid_t gid = 0;
};

// NotFound if there is no user of this name.
absl::StatusOr<OsUser> FindOsUser(absl::string_view name);
absl::StatusOr<OsUser> FindOsUser(uid_t uid);

struct ChildOptions {
  std::vector<std::string> argv;  // argv[0] is the absolute path of the program
  std::string working_dir;        // entered with the child's own rights
  std::string output_path;        // stdout and stderr; emptied first, made by the caller's user
  std::optional<OsUser> run_as;   // drops to this user and its group, with no other groups
  // Sent to the child when the thread that started it ends, which includes the end of the whole
  // process in any way: start children from a thread that lives as long as they may. 0 for none.
  int parent_death_signal = 0;
};

// Starts a child in a session of its own, so that a terminal's interrupt does not reach it, with
// default signal dispositions, an empty signal mask, umask 077, stdin from /dev/null, no other open
// files and an environment of its own (PATH, LC_ALL=C, TZ=UTC): nothing of ours leaks into it.
// Returns its pid once the program runs; an error names the step that failed and the path.
// Safe to call from any thread.
absl::StatusOr<pid_t> StartChild(const ChildOptions& options);

// Starts a child and waits for its end. Ok for exit code 0; otherwise Internal with the last lines
// of its output.
absl::Status RunChild(const ChildOptions& options);

// The last lines of a file, for error texts; empty if it cannot be read.
std::string LastLines(const std::string& path);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_CHILD_PROCESS_H_
