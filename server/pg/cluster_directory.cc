#include "server/pg/cluster_directory.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <vector>

#include "absl/strings/str_cat.h"
#include "server/log/log.h"
#include "server/pg/cluster_processes.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;

absl::Status SyncDir(const std::string& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return absl::ErrnoToStatus(errno, absl::StrCat("cannot open ", path));
  const absl::Status status = ::fsync(fd) == 0
                                  ? absl::OkStatus()
                                  : absl::ErrnoToStatus(errno, absl::StrCat("cannot sync ", path));
  ::close(fd);
  return status;
}

// The user for a cluster that is to be made, when we are root.
absl::StatusOr<OsUser> ChooseUser(const std::string& run_as_user) {
  absl::StatusOr<OsUser> user = FindOsUser(run_as_user.empty() ? "postgres" : run_as_user);
  if (!user.ok() && run_as_user.empty()) user = FindOsUser("nobody");
  if (user.ok() && user->uid == 0) {
    return absl::InvalidArgumentError(
        "PostgreSQL does not run as root: name another user for the private database");
  }
  return user;
}

// Checks that the owner of a whole cluster can run it, and returns that user if we are root.
absl::StatusOr<std::optional<OsUser>> UserOfCluster(const std::string& path, uid_t owner,
                                                    const std::string& run_as_user) {
  const uid_t self = ::geteuid();
  if (self != 0) {
    if (owner == self) return std::nullopt;
    return absl::FailedPreconditionError(
        absl::StrCat("the private database in ", path, " belongs to the user with the number ",
                     owner, ", and this process runs as ", self, ": run it as its owner"));
  }
  const absl::StatusOr<OsUser> user = FindOsUser(owner);
  if (!user.ok()) return user.status();
  if (owner == 0 || (!run_as_user.empty() && user->name != run_as_user)) {
    return absl::FailedPreconditionError(
        absl::StrCat("the private database in ", path, " belongs to ", user->name,
                     " and shall run as ", run_as_user.empty() ? "another user" : run_as_user,
                     ": stop everything that uses it and give it to that user (chown -R)"));
  }
  return *user;
}

absl::StatusOr<ClusterDirectory> OpenCluster(const std::string& path, uid_t owner,
                                             const std::string& run_as_user) {
  int major = 0;
  std::ifstream(absl::StrCat(path, "/PG_VERSION")) >> major;
  if (major == 0 || !fs::exists(absl::StrCat(path, "/global/pg_control"))) {
    return absl::FailedPreconditionError(
        absl::StrCat(path,
                     " is not a whole PostgreSQL cluster, and what it holds may be needed: "
                     "restore it from a backup, or move it away for an empty database"));
  }
  const absl::StatusOr<std::optional<OsUser>> user = UserOfCluster(path, owner, run_as_user);
  if (!user.ok()) return user.status();
  const absl::StatusOr<PostgresBinaries> binaries = FindPostgresBinaries(major);
  if (!binaries.ok()) return binaries.status();
  return ClusterDirectory{path, *binaries, *user};
}

absl::Status RunInitdb(const std::string& data_dir, const ClusterDirectory& target,
                       bool sync_to_disk) {
  ChildOptions initdb;
  // Local connections are trusted because only the owner of the cluster can reach the socket; there
  // is no network listener, and were there one, it would reject everybody.
  initdb.argv = {target.binaries.initdb, absl::StrCat("--pgdata=", target.path),
                 "--username=rundlet",   "--encoding=UTF8",
                 "--locale=C",           "--data-checksums",
                 "--auth-local=trust",   "--auth-host=reject",
                 "--no-instructions"};
  if (!sync_to_disk) initdb.argv.push_back("--no-sync");
  initdb.working_dir = target.path;
  initdb.output_path = absl::StrCat(data_dir, "/initdb.log");
  initdb.run_as = target.run_as;
  initdb.parent_death_signal = SIGKILL;
  return RunChild(initdb);
}

absl::StatusOr<ClusterDirectory> MakeCluster(const std::string& data_dir, const std::string& path,
                                             const std::string& run_as_user, bool sync_to_disk) {
  ClusterDirectory made;
  made.path = absl::StrCat(path, ".making");
  const absl::StatusOr<PostgresBinaries> binaries = FindPostgresBinaries();
  if (!binaries.ok()) return binaries.status();
  made.binaries = *binaries;
  if (::geteuid() == 0) {
    const absl::StatusOr<OsUser> user = ChooseUser(run_as_user);
    if (!user.ok()) return user.status();
    made.run_as = *user;
  }
  absl::Status status = MakePrivateDir(made.path, made.run_as);
  if (status.ok()) status = RunInitdb(data_dir, made, sync_to_disk);
  if (!status.ok()) return status;
  if (::rename(made.path.c_str(), path.c_str()) != 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot rename ", made.path, " to ", path));
  }
  if (sync_to_disk) status = SyncDir(data_dir);
  if (!status.ok()) return status;
  made.path = path;
  Log(Level::kInfo, "database_made", {{"directory", path}, {"postgres", made.binaries.major}});
  return made;
}

absl::Status RemoveInterrupted(const std::string& making) {
  if (!fs::exists(fs::symlink_status(making))) return absl::OkStatus();
  Log(Level::kWarning, "interrupted_database_removed", {{"directory", making}});
  const absl::Status status = KillClusterProcesses(making);
  if (!status.ok()) return status;
  std::error_code error;
  fs::remove_all(making, error);
  if (error)
    return absl::InternalError(absl::StrCat("cannot remove ", making, ": ", error.message()));
  return absl::OkStatus();
}

}  // namespace

absl::Status MakePrivateDir(const std::string& path, const std::optional<OsUser>& owner) {
  if (::mkdir(path.c_str(), 0700) != 0 && errno != EEXIST) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot make ", path));
  }
  // The mode of a directory that was there, or that the umask narrowed.
  if (::chmod(path.c_str(), 0700) != 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot set the mode of ", path));
  }
  if (owner.has_value() && ::lchown(path.c_str(), owner->uid, owner->gid) != 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot give ", path, " to ", owner->name));
  }
  return absl::OkStatus();
}

absl::StatusOr<ClusterDirectory> PrepareClusterDirectory(const std::string& data_dir,
                                                         const std::string& run_as_user,
                                                         bool sync_to_disk) {
  const std::string path = absl::StrCat(data_dir, "/postgres");
  const absl::Status status = RemoveInterrupted(absl::StrCat(path, ".making"));
  if (!status.ok()) return status;
  struct stat info;
  if (::stat(path.c_str(), &info) == 0) return OpenCluster(path, info.st_uid, run_as_user);
  if (errno != ENOENT) return absl::ErrnoToStatus(errno, absl::StrCat("cannot look at ", path));
  return MakeCluster(data_dir, path, run_as_user, sync_to_disk);
}

}  // namespace rundlet::server
