#ifndef RUNDLET_SERVER_STORE_PROJECTION_STORE_H_
#define RUNDLET_SERVER_STORE_PROJECTION_STORE_H_

#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "server/store/cellar_transaction.h"
#include "server/store/projection_rows.h"

namespace rundlet::server {

// A row that is in one of two sets of projections and not in the other, or not the same.
struct ProjectionDifference {
  std::string table;
  bool in_database = false;  // false: it should be there and is not
  std::string row;           // all its columns, as PostgreSQL writes them
};

// The projections of a transaction's cellar: all SQL about them is here. Errors are as Guard maps
// them.
class ProjectionStore {
 public:
  static void Prepare(Statements& statements);

  explicit ProjectionStore(CellarTransaction& transaction) : tx_(transaction) {}

  // One statement a table that has something to remove, and one for each that has rows to write.
  absl::Status Write(const ProjectionRows& rows);

  // Removes all of the cellar's rows.
  absl::Status Clear();

  // For a comparison: empty copies of the tables that live as long as the transaction, rows for
  // them, and how the tables of the database differ from them, at most `limit` rows a table. For
  // the owner's connection.
  absl::Status MakeCopies();
  absl::Status WriteToCopies(const ProjectionRows& rows);
  absl::StatusOr<std::vector<ProjectionDifference>> CompareWithCopies(int limit);

 private:
  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PROJECTION_STORE_H_
