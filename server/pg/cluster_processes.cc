#include "server/pg/cluster_processes.h"

#include <dirent.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <memory>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/time/clock.h"
#include "server/log/log.h"

namespace rundlet::server {
namespace {

// How often the end of processes that are not our children is looked for; they cannot be waited on.
constexpr absl::Duration kPollInterval = absl::Milliseconds(10);
constexpr absl::Duration kKillPatience = absl::Seconds(5);

std::string FirstLine(const std::string& path) {
  std::ifstream file(path);
  std::string line;
  std::getline(file, line);
  return line;
}

// The pid in postmaster.pid, negative for a single-user postgres, or 0 if there is no such file.
int RecordedPid(const std::string& cluster_dir) {
  int pid = 0;
  if (!absl::SimpleAtoi(FirstLine(absl::StrCat(cluster_dir, "/postmaster.pid")), &pid)) return 0;
  return pid;
}

bool Contains(const std::vector<pid_t>& pids, pid_t pid) {
  return std::find(pids.begin(), pids.end(), pid) != pids.end();
}

void SignalAll(const std::vector<pid_t>& pids, int signal) {
  for (const pid_t pid : pids) ::kill(pid, signal);
}

bool AwaitNone(const std::string& cluster_dir, absl::Duration patience) {
  const absl::Time deadline = absl::Now() + patience;
  while (!ClusterProcesses(cluster_dir).empty()) {
    if (absl::Now() >= deadline) return false;
    absl::SleepFor(kPollInterval);
  }
  return true;
}

// A number from before a reboot, or of another container, may be anybody's by now. PostgreSQL
// itself cannot tell and would refuse to start; we know from ClusterProcesses that it is not a
// postmaster.
absl::Status RemoveStalePidFile(const std::string& cluster_dir) {
  const int pid = RecordedPid(cluster_dir);
  if (pid == 0 || (::kill(std::abs(pid), 0) != 0 && errno == ESRCH)) return absl::OkStatus();
  const std::string path = absl::StrCat(cluster_dir, "/postmaster.pid");
  Log(Level::kWarning, "stale_pid_file", {{"path", path}, {"pid", pid}});
  if (::unlink(path.c_str()) != 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot remove the stale ", path));
  }
  return absl::OkStatus();
}

}  // namespace

std::vector<pid_t> ClusterProcesses(const std::string& cluster_dir) {
  std::vector<pid_t> pids;
  struct stat cluster;
  if (::stat(cluster_dir.c_str(), &cluster) != 0) return pids;
  const std::unique_ptr<DIR, int (*)(DIR*)> proc(::opendir("/proc"), ::closedir);
  if (proc == nullptr) return pids;
  while (const dirent* const entry = ::readdir(proc.get())) {
    pid_t pid = 0;
    if (!absl::SimpleAtoi(entry->d_name, &pid)) continue;
    const std::string process = absl::StrCat("/proc/", pid);
    struct stat cwd;
    if (::stat(absl::StrCat(process, "/cwd").c_str(), &cwd) != 0) continue;
    if (cwd.st_dev != cluster.st_dev || cwd.st_ino != cluster.st_ino) continue;
    // Not the operator's shell that stands in the directory.
    if (FirstLine(absl::StrCat(process, "/comm")) == "postgres") pids.push_back(pid);
  }
  return pids;
}

absl::Status ClearCluster(const std::string& cluster_dir, absl::Duration patience) {
  const std::vector<pid_t> pids = ClusterProcesses(cluster_dir);
  if (pids.empty()) return RemoveStalePidFile(cluster_dir);

  const int recorded = RecordedPid(cluster_dir);
  if (recorded < 0 && Contains(pids, -recorded)) {
    return absl::FailedPreconditionError(absl::StrCat("a single-user postgres, process ", -recorded,
                                                      ", works in ", cluster_dir,
                                                      ": end it first"));
  }
  Log(Level::kWarning, "earlier_database_processes",
      {{"directory", cluster_dir}, {"pids", absl::StrJoin(pids, ",")}});
  if (recorded > 0 && Contains(pids, recorded)) {
    ::kill(recorded, SIGINT);  // fast shutdown: ends sessions, writes a checkpoint
    // Its pid file is left if it was dying already of a kill.
    if (AwaitNone(cluster_dir, patience)) return RemoveStalePidFile(cluster_dir);
    ::kill(recorded, SIGQUIT);  // immediate shutdown: recovers at the next start
  } else {
    SignalAll(pids, SIGQUIT);  // backends without a postmaster: end at once
  }
  if (!AwaitNone(cluster_dir, kKillPatience)) {
    const absl::Status status = KillClusterProcesses(cluster_dir);
    if (!status.ok()) return status;
  }
  return RemoveStalePidFile(cluster_dir);
}

absl::Status KillClusterProcesses(const std::string& cluster_dir) {
  SignalAll(ClusterProcesses(cluster_dir), SIGKILL);
  if (AwaitNone(cluster_dir, kKillPatience)) return absl::OkStatus();
  return absl::InternalError(
      absl::StrCat("processes of PostgreSQL hang in ", cluster_dir,
                   " and cannot be ended: ", absl::StrJoin(ClusterProcesses(cluster_dir), ", ")));
}

}  // namespace rundlet::server
