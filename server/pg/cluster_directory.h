#ifndef RUNDLET_SERVER_PG_CLUSTER_DIRECTORY_H_
#define RUNDLET_SERVER_PG_CLUSTER_DIRECTORY_H_

#include <optional>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "server/pg/child_process.h"
#include "server/pg/postgres_binaries.h"

namespace rundlet::server {

// A private cluster's files, ready for a postmaster.
struct ClusterDirectory {
  std::string path;
  PostgresBinaries binaries;
  std::optional<OsUser> run_as;  // set when we are root, whom PostgreSQL refuses to run as
};

// The cluster in <data_dir>/postgres, made if there is none.
//
// A cluster is made under the name postgres.making, written through to disk, and only then renamed:
// a directory named postgres is always whole and is never removed or made again here; one named
// postgres.making was interrupted, has never held data, and is removed.
//
// When we are root, the cluster belongs to `run_as_user`; if that is empty, to the owner of the
// cluster that exists, else to the user postgres, else to nobody. Otherwise it is our own.
//
// The caller must hold the lock of `data_dir`. FailedPrecondition if the directory is not a whole
// cluster or belongs to another user; NotFound for missing programs or users.
absl::StatusOr<ClusterDirectory> PrepareClusterDirectory(const std::string& data_dir,
                                                         const std::string& run_as_user,
                                                         bool sync_to_disk);

// Makes a directory of mode 0700, if there is none, and gives it to `owner`.
absl::Status MakePrivateDir(const std::string& path, const std::optional<OsUser>& owner);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_CLUSTER_DIRECTORY_H_
