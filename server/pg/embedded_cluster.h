#ifndef RUNDLET_SERVER_PG_EMBEDDED_CLUSTER_H_
#define RUNDLET_SERVER_PG_EMBEDDED_CLUSTER_H_

#include <sys/types.h>

#include <memory>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "server/pg/dir_lock.h"
#include "server/pg/postmaster.h"

namespace rundlet::server {

// A private PostgreSQL cluster inside the server's data directory: what rundletd uses when no
// connection string is given.
//
//   <data_dir>/lock            the sole right to the directory, see dir_lock.h
//   <data_dir>/postgres        the cluster; its own log, one file per weekday, is in postgres/log
//   <data_dir>/postgres.making a cluster whose making was interrupted; removed at the next start
//   <data_dir>/postgres.log    what the postmaster says before it opens its own log
//   <data_dir>/initdb.log      how the cluster was made
//   <data_dir>/socket          the directory of the Unix socket, see socket_dir.h
//
// Reached through the Unix socket only, and that only by the owner of the cluster and root;
// therefore local connections need no password. Every commit is on disk before it is answered
// (fsync, full_page_writes, synchronous_commit), every page has a checksum; these settings stand on
// the command line, which no configuration file overrides. Other settings may be changed in
// postgres/postgresql.conf.
//
// PostgreSQL refuses to run as root: started by root, it runs as an unprivileged user who owns the
// cluster and the socket directory; that user must be able to pass through the data directory
// (mode 0711), of which it owns nothing else.
//
// The postmaster is our child, is started again if it ends unexpectedly, and is told to shut down
// if we end in any way. Service managers should signal rundletd alone (KillMode=mixed in systemd):
// a SIGTERM to every process would end the database's sessions before the server has drained.
class EmbeddedCluster {
 public:
  struct Options {
    std::string data_dir;     // made if missing; its parent must exist
    std::string run_as_user;  // used by root only; empty: the user postgres, else nobody
    int max_connections = 40;
    absl::Duration start_timeout = absl::Minutes(2);  // includes recovery after a crash
    absl::Duration stop_timeout = absl::Seconds(30);  // then the stop is forced
    // Writes nothing through to disk: a power cut can lose all, while the end of any process, by
    // whatever signal, still loses no commit. For tests.
    bool unsafe_without_fsync = false;
  };

  // Takes the directory's lock, makes the cluster if there is none, stops what an earlier run left
  // at work in it, starts the postmaster, and returns when it accepts connections and has its
  // database. Blocks for about a second, at the first start or after a crash for longer.
  //
  // FailedPrecondition if another process uses the directory, or its cluster is damaged or another
  // user's; NotFound if PostgreSQL is not installed; DeadlineExceeded, Internal or Unavailable if
  // the database does not start, with the end of its log. After an error nothing is left running.
  static absl::StatusOr<std::unique_ptr<EmbeddedCluster>> Start(const Options& options);

  ~EmbeddedCluster();  // stops it
  EmbeddedCluster(const EmbeddedCluster&) = delete;
  EmbeddedCluster& operator=(const EmbeddedCluster&) = delete;

  // For libpq: the superuser and owner "rundlet", in its database "rundlet" or another one.
  std::string connection_string() const { return ConnectionStringFor("rundlet"); }
  std::string ConnectionStringFor(absl::string_view database) const;

  // The postmaster's process, or 0 in the moments when it has ended and is not yet started again.
  pid_t postmaster_pid() const { return postmaster_->pid(); }

  // Fast shutdown, not to be called by two threads at once: ends all sessions, waits for the
  // checkpoint. Internal if it had to be forced, which loses no commit but makes the next start
  // recover. Calls after the first do nothing.
  absl::Status Stop();

 private:
  EmbeddedCluster(Options options, DirLock lock, std::string socket_dir,
                  std::unique_ptr<Postmaster> postmaster);

  absl::Status AwaitReady();
  absl::Status EnsureDatabase();

  const Options options_;
  DirLock lock_;  // released last
  const std::string socket_dir_;
  bool stopped_ = false;
  std::unique_ptr<Postmaster> postmaster_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_EMBEDDED_CLUSTER_H_
