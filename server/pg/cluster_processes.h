#ifndef RUNDLET_SERVER_PG_CLUSTER_PROCESSES_H_
#define RUNDLET_SERVER_PG_CLUSTER_PROCESSES_H_

#include <sys/types.h>

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/time/time.h"

namespace rundlet::server {

// The processes of PostgreSQL, postmaster and backends, that work in a cluster's directory. They
// are found by their working directory, which PostgreSQL sets to the cluster's and never changes,
// and not by the pid in postmaster.pid, which a stranger may have been given since.
std::vector<pid_t> ClusterProcesses(const std::string& cluster_dir);

// Makes sure that nothing of an earlier run is at work in the directory, so that a postmaster can
// be started there: stops an earlier postmaster as cleanly as it lets itself be stopped (fast
// shutdown, then immediate shutdown after `patience`, then SIGKILL), then backends that outlived
// theirs, and removes a postmaster.pid whose number now belongs to some other process.
//
// The caller must hold the lock of the data directory. FailedPrecondition if a person works in the
// cluster with a single-user postgres, which is not ours to stop; Internal if a process survives
// SIGKILL (it hangs in the kernel, e.g. on a dead disk).
absl::Status ClearCluster(const std::string& cluster_dir, absl::Duration patience);

// Ends whatever of PostgreSQL works in the directory, at once and without regard for its files; for
// a cluster that nobody needs. Internal if a process survives SIGKILL.
absl::Status KillClusterProcesses(const std::string& cluster_dir);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_CLUSTER_PROCESSES_H_
