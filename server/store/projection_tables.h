#ifndef RUNDLET_SERVER_STORE_PROJECTION_TABLES_H_
#define RUNDLET_SERVER_STORE_PROJECTION_TABLES_H_

#include <cstddef>
#include <string>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "server/store/pg_array.h"

namespace rundlet::server {

// The tables of schema/0002_projections.sql, as data, and the SQL that follows from it.
enum class Table {
  kThing,
  kVessel,
  kStock,
  kBinContent,
  kParcel,
  kMovement,
  kReading,
  kTreatment,
  kObservation,
  kCountResult,
  kHeld,
  kEntryStanding,
};
inline constexpr size_t kTableCount = 12;

struct Column {
  absl::string_view name;
  PgType type;
};

struct TableSpec {
  absl::string_view name;
  absl::Span<const Column> columns;  // without cellar_id and without a composition
  // The first columns: of a state table its key after cellar_id, by which a row is replaced; of a
  // history table entry_id alone, by which all rows of an entry are removed.
  size_t key_columns;
  bool is_state;
  bool has_composition;  // ends in the six columns kComposition
};

// Compositions are arrays. Those of all rows of a statement are passed end to end in one parameter
// a column, and each row says where its shares and doses begin and end.
inline constexpr Column kComposition[] = {
    {"share_entry_ids", PgType::kUuid}, {"share_ordinals", PgType::kInt4},
    {"share_ul", PgType::kInt8},        {"dose_ids", PgType::kUuid},
    {"dose_dimensions", PgType::kInt2}, {"dose_amounts", PgType::kInt8}};
inline constexpr size_t kShareColumns = 3;  // the first of them; the others are of doses
inline constexpr Column kBounds[] = {{"share_begin", PgType::kInt4},
                                     {"share_end", PgType::kInt4},
                                     {"dose_begin", PgType::kInt4},
                                     {"dose_end", PgType::kInt4}};

const TableSpec& SpecOf(Table table);

// Parameters: $1 the cellar, then an array for each column, then for each bound, then for each
// column of the composition.
std::string InsertSql(const TableSpec& spec, absl::string_view schema);
// Parameters: $1 the cellar, then an array for each key column.
std::string DeleteSql(const TableSpec& spec);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PROJECTION_TABLES_H_
