#ifndef RUNDLET_SERVER_PG_MIGRATE_H_
#define RUNDLET_SERVER_PG_MIGRATE_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"

namespace rundlet::server {

// One step of the schema: the file schema/<number, four digits>_<name>.sql.
struct Migration {
  int number = 0;
  absl::string_view name;
  absl::string_view sql;
};

// The migrations that this program was built with, 1, 2, 3, ...
absl::Span<const Migration> BuiltInMigrations();

struct MigrateOptions {
  std::string connection_string;  // of the role that owns the schema, not of rundlet_server
  absl::Span<const Migration> migrations = BuiltInMigrations();
  absl::Time now;                                  // recorded as the time of applying
  absl::Duration lock_timeout = absl::Minutes(2);  // for another server that is migrating
};

// Brings the database's schema up to the given migrations and returns the numbers of those that it
// applied, none if the schema was up to date.
//
// Each migration runs in a transaction of its own together with its row in
// rundlet.schema_migration, under that table's lock: ended at any point, it is done or not done at
// all and the next call goes on from there; of two servers that start at once, one waits for the
// other and finds nothing left to do.
//
// FailedPrecondition, and nothing is changed, if the database is newer than this program, or if a
// migration that it has applied differs from ours; InvalidArgument if `migrations` are not numbered
// 1, 2, 3, ...; otherwise as Guard maps it (kAborted: the lock was not to be had in time).
absl::StatusOr<std::vector<int>> Migrate(const MigrateOptions& options);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_MIGRATE_H_
