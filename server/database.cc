#include "server/database.h"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <pqxx/pqxx>
#include <system_error>
#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/time/clock.h"
#include "server/pg/migrate.h"
#include "server/pg/pq_status.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;

std::string FromEnvironment(const char* name) {
  const char* const value = std::getenv(name);
  return value == nullptr ? "" : value;
}

absl::Status CheckEncoding(const std::string& connection_string) {
  return Guard("ask the database for its encoding", [&]() -> absl::Status {
    pqxx::connection connection(connection_string);
    const std::string encoding =
        pqxx::nontransaction(connection).exec1("show server_encoding")[0].as<std::string>();
    if (encoding == "UTF8") return absl::OkStatus();
    return absl::FailedPreconditionError(
        absl::StrCat("the database is encoded in ", encoding,
                     ", which cannot hold every name: make one with encoding UTF8"));
  });
}

// How to reach the private database of a server that runs on this directory; empty if none does.
std::string RunningCluster(const std::string& data_dir) {
  std::error_code error;
  std::string socket_dir =
      fs::absolute(absl::StrCat(data_dir, "/socket"), error).lexically_normal().string();
  // Where the path is too long for a socket, this is a link to a shorter one.
  if (fs::is_symlink(socket_dir, error)) socket_dir = fs::read_symlink(socket_dir, error).string();
  const std::string connection_string =
      absl::StrCat("host='", absl::StrReplaceAll(socket_dir, {{"\\", "\\\\"}, {"'", "\\'"}}),
                   "' port=5432 user=rundlet dbname=rundlet sslmode=disable");
  const absl::Status reached =
      Guard("reach the private database", [&] { pqxx::connection connection(connection_string); });
  return reached.ok() ? connection_string : "";
}

}  // namespace

std::string DefaultDataDir() {
  if (const std::string data = FromEnvironment("RUNDLET_DATA"); !data.empty()) return data;
  if (::geteuid() == 0) return "/var/lib/rundlet";
  if (const std::string state = FromEnvironment("XDG_STATE_HOME"); !state.empty()) {
    return absl::StrCat(state, "/rundlet");
  }
  return absl::StrCat(FromEnvironment("HOME"), "/.local/state/rundlet");
}

absl::Status Database::Prepare() {
  const absl::Status encoding = CheckEncoding(connection_string_);
  if (!encoding.ok()) return encoding;
  return Migrate({.connection_string = connection_string_, .now = absl::Now()}).status();
}

absl::StatusOr<Database> Database::OpenToServe(const DatabaseOptions& options) {
  Database database(options.connection_string);
  if (options.connection_string.empty()) {
    std::error_code error;
    const fs::path parent = fs::absolute(options.data_dir, error).lexically_normal().parent_path();
    fs::create_directories(parent, error);
    if (error) {
      return absl::PermissionDeniedError(absl::StrCat("cannot make ", parent.string(), ": ",
                                                      error.message(),
                                                      "; choose another directory with --data"));
    }
    absl::StatusOr<std::unique_ptr<EmbeddedCluster>> cluster =
        EmbeddedCluster::Start({.data_dir = options.data_dir});
    if (!cluster.ok()) return cluster.status();
    database.cluster_ = *std::move(cluster);
    database.connection_string_ = database.cluster_->connection_string();
  }
  const absl::Status prepared = database.Prepare();
  if (!prepared.ok()) return prepared;
  return database;
}

absl::StatusOr<Database> Database::OpenForCommand(const DatabaseOptions& options, bool may_make) {
  if (!options.connection_string.empty()) return OpenToServe(options);
  std::error_code error;
  if (!may_make && !fs::exists(absl::StrCat(options.data_dir, "/postgres"), error)) {
    return absl::NotFoundError(absl::StrCat(
        "there is no database in ", options.data_dir,
        ": name the directory of one with --data, or begin with: rundletd cellar new"));
  }
  Database running(RunningCluster(options.data_dir));
  if (running.connection_string_.empty()) return OpenToServe(options);
  const absl::Status prepared = running.Prepare();
  if (!prepared.ok()) return prepared;
  return running;
}

absl::Status Database::Close() { return cluster_ == nullptr ? absl::OkStatus() : cluster_->Stop(); }

}  // namespace rundlet::server
