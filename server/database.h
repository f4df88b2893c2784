#ifndef RUNDLET_SERVER_DATABASE_H_
#define RUNDLET_SERVER_DATABASE_H_

#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "server/pg/embedded_cluster.h"

namespace rundlet::server {

// Where the server's data are: a database that somebody else runs, or the private one in the data
// directory.
struct DatabaseOptions {
  std::string connection_string;  // if empty, the private one
  std::string data_dir;
  bool transaction_pooling = false;  // the former is of a pooler; see ConnectionPool
};

// RUNDLET_DATA if set; as root /var/lib/rundlet; else rundlet in XDG_STATE_HOME, which is
// ~/.local/state where it is not set.
std::string DefaultDataDir();

// A database that is up and has this program's schema.
class Database {
 public:
  // For serving: with the private database, takes the sole right to the data directory and starts
  // it. FailedPrecondition if another server has it.
  static absl::StatusOr<Database> OpenToServe(const DatabaseOptions& options);
  // For a single command: joins the private database if a server has it running, else starts it for
  // as long as this object lives. NotFound where there is none, unless the command `may_make` one:
  // a slip in the name of the directory makes no second, empty book.
  static absl::StatusOr<Database> OpenForCommand(const DatabaseOptions& options, bool may_make);

  const std::string& connection_string() const { return connection_string_; }

  // Stops a private database that this object started.
  absl::Status Close();

 private:
  explicit Database(std::string connection_string)
      : connection_string_(std::move(connection_string)) {}

  absl::Status Prepare();

  std::string connection_string_;
  std::unique_ptr<EmbeddedCluster> cluster_;  // if we started one
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_DATABASE_H_
