#ifndef RUNDLET_SERVER_STORE_PROJECTION_ROWS_H_
#define RUNDLET_SERVER_STORE_PROJECTION_ROWS_H_

#include <array>
#include <vector>

#include "core/fold/fold.h"
#include "server/store/pg_array.h"
#include "server/store/projection_tables.h"

namespace rundlet::server {

// What is to be written to one table.
struct TableRows {
  explicit TableRows(const TableSpec& spec);

  bool empty() const { return columns[0].empty(); }

  std::vector<PgArray> columns;      // of the new rows; with the bounds of the composition
  std::vector<PgArray> composition;  // of all new rows, end to end
  std::vector<PgArray> gone;         // keys of the rows to be removed first
};

// The rows of the projections that a fold says there should be, collected for one write. The fold
// must be settled and must not change meanwhile.
class ProjectionRows {
 public:
  explicit ProjectionRows(const Fold& fold);

  // All rows that an entry makes. `may_exist`: remove those that it made before.
  void AddEntry(RowId row, bool may_exist);
  // What a vessel holds, how much is left of a stock or in a bin, what is known of a thing: a row,
  // or its removal where there is nothing.
  void AddVessel(Handle vessel);
  void AddBalance(const Balance& balance);
  void AddThing(Handle thing);

  // Everything that changed. Entries from `first_new` on are new to the projections.
  void AddChanges(const Fold::Changes& changes, RowId first_new);

  // New rows collected so far, in all tables.
  size_t count() const { return count_; }
  const TableRows& table(Table table) const { return tables_[static_cast<size_t>(table)]; }
  void Clear();

 private:
  class RowWriter;

  RowWriter NewRow(Table table);
  void AddMovement(const Uuid& entry_id, int64_t ordinal, const Movement& movement);
  void AddParcel(const Uuid& entry_id, const Parcel& parcel);
  void AddFact(const Uuid& entry_id, int64_t ordinal, const Fact& fact);
  Uuid EntryId(RowId row) const;

  const Fold& fold_;
  std::vector<TableRows> tables_;  // in the order of Table
  size_t count_ = 0;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PROJECTION_ROWS_H_
