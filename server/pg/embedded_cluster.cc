#include "server/pg/embedded_cluster.h"

#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <pqxx/pqxx>
#include <system_error>
#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/time/clock.h"
#include "server/log/log.h"
#include "server/pg/child_process.h"
#include "server/pg/cluster_directory.h"
#include "server/pg/cluster_processes.h"
#include "server/pg/pq_status.h"
#include "server/pg/socket_dir.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;

constexpr absl::Duration kConnectRetry = absl::Milliseconds(20);

std::string LogPath(const std::string& data_dir) { return absl::StrCat(data_dir, "/postgres.log"); }

// Quoted for a libpq connection string.
std::string Quoted(absl::string_view value) {
  return absl::StrCat("'", absl::StrReplaceAll(value, {{"\\", "\\\\"}, {"'", "\\'"}}), "'");
}

std::vector<std::string> PostmasterArguments(const EmbeddedCluster::Options& options,
                                             const ClusterDirectory& cluster,
                                             const std::string& socket_dir) {
  std::vector<std::string> argv = {cluster.binaries.postgres, "-D", cluster.path};
  const auto set = [&argv](absl::string_view name, absl::string_view value) {
    argv.push_back("-c");
    argv.push_back(absl::StrCat(name, "=", value));
  };
  const absl::string_view durable = options.unsafe_without_fsync ? "off" : "on";
  set("fsync", durable);
  set("full_page_writes", durable);
  set("synchronous_commit", "on");
  set("listen_addresses", "");
  set("port", "5432");  // a part of the socket's name only
  // Commas separate directories in this setting, so it is quoted as a list of one.
  set("unix_socket_directories",
      absl::StrCat("\"", absl::StrReplaceAll(socket_dir, {{"\"", "\"\""}}), "\""));
  set("unix_socket_permissions", "0700");
  set("max_connections", absl::StrCat(options.max_connections));
  // Compiled code is of no use to small queries, and needs pages that are written and run at once,
  // which a hardened service may not have.
  set("jit", "off");
  set("timezone", "UTC");
  set("log_timezone", "UTC");
  set("logging_collector", "on");
  set("log_directory", "log");
  set("log_filename", "postgresql-%a.log");
  set("log_truncate_on_rotation", "on");
  set("log_rotation_age", "1d");
  set("log_rotation_size", "0");
  set("log_line_prefix", "%m [%p] %a ");
  return argv;
}

// The end of the postmaster's log: of the file that it opened for itself last, or if it did not
// come to that, of what it said before.
std::string LogTail(const std::string& data_dir) {
  std::string newest = LogPath(data_dir);
  fs::file_time_type newest_time = fs::file_time_type::min();
  std::error_code error;
  for (const fs::directory_entry& file :
       fs::directory_iterator(absl::StrCat(data_dir, "/postgres/log"), error)) {
    const fs::file_time_type time = file.last_write_time(error);
    if (error || time <= newest_time || file.file_size(error) == 0) continue;
    newest = file.path().string();
    newest_time = time;
  }
  const std::string early = LastLines(LogPath(data_dir));
  return early.find("redirecting log output") == std::string::npos
             ? absl::StrCat("(", LogPath(data_dir), ") ", early)
             : absl::StrCat("(", newest, ") ", LastLines(newest));
}

// Whether nothing but a lock was made there yet: a start that was killed early leaves just that.
bool IsUnused(const std::string& data_dir) {
  std::error_code error;
  for (const fs::directory_entry& file : fs::directory_iterator(data_dir, error)) {
    if (file.path().filename() != "lock") return false;
  }
  return !error;
}

// Root gives the cluster to another user, who must get through to it. A directory that somebody
// else filled keeps its mode.
absl::Status LetPass(const std::string& data_dir) {
  if (::geteuid() != 0 || !IsUnused(data_dir)) return absl::OkStatus();
  if (::chmod(data_dir.c_str(), 0711) == 0) return absl::OkStatus();
  return absl::ErrnoToStatus(errno, absl::StrCat("cannot set the mode of ", data_dir));
}

}  // namespace

absl::StatusOr<std::unique_ptr<EmbeddedCluster>> EmbeddedCluster::Start(const Options& given) {
  Options options = given;
  std::error_code error;
  // The postmaster has a working directory of its own.
  options.data_dir = fs::absolute(given.data_dir, error).lexically_normal().string();
  absl::StatusOr<DirLock> lock = DirLock::Take(options.data_dir);
  if (!lock.ok()) return lock.status();
  absl::Status status = LetPass(options.data_dir);
  if (!status.ok()) return status;
  const absl::StatusOr<ClusterDirectory> cluster =
      PrepareClusterDirectory(options.data_dir, options.run_as_user, !options.unsafe_without_fsync);
  if (!cluster.ok()) return cluster.status();
  status = ClearCluster(cluster->path, options.stop_timeout);
  if (!status.ok()) return status;
  absl::StatusOr<std::string> socket_dir = MakeSocketDir(options.data_dir, cluster->run_as);
  if (!socket_dir.ok()) return socket_dir.status();

  auto postmaster = std::make_unique<Postmaster>(
      Postmaster::Options{.child = {.argv = PostmasterArguments(options, *cluster, *socket_dir),
                                    .working_dir = cluster->path,
                                    .output_path = LogPath(options.data_dir),
                                    .run_as = cluster->run_as},
                          .cluster_dir = cluster->path,
                          .stop_patience = options.stop_timeout});
  std::unique_ptr<EmbeddedCluster> result(new EmbeddedCluster(
      std::move(options), *std::move(lock), *std::move(socket_dir), std::move(postmaster)));
  status = result->postmaster_->Start();
  if (status.ok()) status = result->AwaitReady();
  if (status.ok()) status = result->EnsureDatabase();
  if (!status.ok()) return status;
  result->postmaster_->KeepAlive();
  Log(Level::kInfo, "database_ready",
      {{"directory", cluster->path}, {"pid", result->postmaster_pid()}});
  return result;
}

EmbeddedCluster::EmbeddedCluster(Options options, DirLock lock, std::string socket_dir,
                                 std::unique_ptr<Postmaster> postmaster)
    : options_(std::move(options)),
      lock_(std::move(lock)),
      socket_dir_(std::move(socket_dir)),
      postmaster_(std::move(postmaster)) {}

EmbeddedCluster::~EmbeddedCluster() {
  const absl::Status status = Stop();
  if (!status.ok()) Log(Level::kWarning, "database_stop", {{"error", status}});
}

std::string EmbeddedCluster::ConnectionStringFor(absl::string_view database) const {
  return absl::StrCat("host=", Quoted(socket_dir_),
                      " port=5432 user=rundlet dbname=", Quoted(database), " sslmode=disable");
}

absl::Status EmbeddedCluster::AwaitReady() {
  const absl::Time deadline = absl::Now() + options_.start_timeout;
  while (true) {
    const absl::Status connected = Guard("reach the private database", [this] {
      pqxx::connection connection(ConnectionStringFor("postgres"));
    });
    if (connected.ok()) return absl::OkStatus();
    if (postmaster_->AwaitEnd(std::min(deadline, absl::Now() + kConnectRetry))) {
      return absl::InternalError(
          absl::StrCat("the private database ended while starting: ", LogTail(options_.data_dir)));
    }
    if (absl::Now() >= deadline) {
      return absl::DeadlineExceededError(absl::StrCat(
          "the private database did not accept connections within ",
          absl::FormatDuration(options_.start_timeout), ": ", LogTail(options_.data_dir)));
    }
  }
}

absl::Status EmbeddedCluster::EnsureDatabase() {
  return Guard("make the database rundlet", [this] {
    pqxx::connection connection(ConnectionStringFor("postgres"));
    pqxx::nontransaction work(connection);
    if (work.exec("select 1 from pg_database where datname = 'rundlet'").empty()) {
      work.exec("create database rundlet");
    }
  });
}

absl::Status EmbeddedCluster::Stop() {
  if (stopped_) return absl::OkStatus();
  stopped_ = true;
  const absl::Status status = postmaster_->Stop();
  RemoveSocketDir(options_.data_dir);
  Log(Level::kInfo, "database_stopped", {{"directory", options_.data_dir}});
  return status;
}

}  // namespace rundlet::server
