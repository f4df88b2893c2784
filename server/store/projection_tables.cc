#include "server/store/projection_tables.h"

#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"

namespace rundlet::server {
namespace {

constexpr PgType kId = PgType::kUuid;

constexpr Column kThingColumns[] = {{"thing_id", kId},
                                    {"kind", PgType::kText},
                                    {"name", PgType::kText},
                                    {"retired", PgType::kBool},
                                    {"attributes", PgType::kText}};
constexpr Column kVesselColumns[] = {{"vessel_id", kId},       {"volume_ul", PgType::kInt8},
                                     {"parcel_entry_id", kId}, {"parcel_ordinal", PgType::kInt4},
                                     {"lot_id", kId},          {"since_entry_id", kId}};
constexpr Column kStockColumns[] = {
    {"material_lot_id", kId}, {"dimension", PgType::kInt2}, {"amount", PgType::kInt8}};
constexpr Column kBinColumns[] = {
    {"bin_id", kId}, {"bottling_id", kId}, {"size_ul", PgType::kInt8}, {"bottles", PgType::kInt8}};
constexpr Column kParcelColumns[] = {
    {"entry_id", kId},         {"ordinal", PgType::kInt4}, {"volume_ul", PgType::kInt8},
    {"origin", PgType::kText}, {"place_id", kId},          {"lot_id", kId}};
constexpr Column kMovementColumns[] = {{"entry_id", kId},
                                       {"ordinal", PgType::kInt4},
                                       {"amount", PgType::kInt8},
                                       {"commodity", PgType::kText},
                                       {"commodity_id", kId},
                                       {"measure", PgType::kInt8},
                                       {"from_kind", PgType::kText},
                                       {"from_id", kId},
                                       {"from_account", PgType::kText},
                                       {"from_parcel_entry_id", kId},
                                       {"from_parcel_ordinal", PgType::kInt4},
                                       {"to_kind", PgType::kText},
                                       {"to_id", kId},
                                       {"to_account", PgType::kText},
                                       {"to_parcel_entry_id", kId},
                                       {"to_parcel_ordinal", PgType::kInt4}};
constexpr Column kReadingColumns[] = {
    {"entry_id", kId},        {"ordinal", PgType::kInt4},        {"vessel_id", kId},
    {"parcel_entry_id", kId}, {"parcel_ordinal", PgType::kInt4}, {"kind", PgType::kText},
    {"unit", PgType::kText},  {"value_micro", PgType::kInt8}};
constexpr Column kTreatmentColumns[] = {{"entry_id", kId},
                                        {"ordinal", PgType::kInt4},
                                        {"vessel_id", kId},
                                        {"parcel_entry_id", kId},
                                        {"parcel_ordinal", PgType::kInt4},
                                        {"kind", PgType::kText},
                                        {"duration_min", PgType::kInt8}};
constexpr Column kObservationColumns[] = {{"entry_id", kId},
                                          {"ordinal", PgType::kInt4},
                                          {"subject_id", kId},
                                          {"parcel_entry_id", kId},
                                          {"parcel_ordinal", PgType::kInt4}};
constexpr Column kCountColumns[] = {{"entry_id", kId},
                                    {"ordinal", PgType::kInt4},
                                    {"subject_id", kId},
                                    {"commodity", PgType::kText},
                                    {"commodity_id", kId},
                                    {"measure", PgType::kInt8},
                                    {"difference", PgType::kInt8}};
constexpr Column kHeldColumns[] = {{"entry_id", kId},        {"reason", PgType::kText},
                                   {"subject_id", kId},      {"needed", PgType::kInt8},
                                   {"there", PgType::kInt8}, {"taken_by_entry_id", kId}};
constexpr Column kStandingColumns[] = {
    {"entry_id", kId}, {"standing", PgType::kText}, {"by_entry_id", kId}};

// In the order of Table.
constexpr TableSpec kSpecs[] = {
    {"thing", kThingColumns, 1, true, false},
    {"vessel", kVesselColumns, 1, true, true},
    {"stock", kStockColumns, 2, true, false},
    {"bin_content", kBinColumns, 3, true, false},
    {"parcel", kParcelColumns, 1, false, true},
    {"movement", kMovementColumns, 1, false, false},
    {"reading", kReadingColumns, 1, false, false},
    {"treatment", kTreatmentColumns, 1, false, false},
    {"observation", kObservationColumns, 1, false, false},
    {"count_result", kCountColumns, 1, false, false},
    {"held", kHeldColumns, 1, false, false},
    {"entry_standing", kStandingColumns, 1, false, false},
};
static_assert(std::size(kSpecs) == kTableCount);

// "(select unnest($2::uuid[]) entry_id, unnest($3::text[]) kind) u"; `next` is the number of the
// first parameter. In the target list the arrays are read side by side as the rows are made; with
// all of them in one unnest(...), each would be written to a store of its own first.
std::string Unnest(const std::vector<Column>& columns, int next) {
  std::vector<std::string> arrays;
  for (const Column& column : columns) {
    arrays.push_back(
        absl::StrCat("unnest($", next++, "::", PgTypeName(column.type), "[]) ", column.name));
  }
  return absl::StrCat("(select ", absl::StrJoin(arrays, ", "), ") u");
}

// Replaces the row with the same key.
std::string OnConflict(const TableSpec& spec) {
  std::vector<std::string> key = {"cellar_id"};
  std::vector<std::string> sets;
  for (size_t i = 0; i < spec.columns.size(); ++i) {
    const absl::string_view name = spec.columns[i].name;
    if (i < spec.key_columns) {
      key.emplace_back(name);
    } else {
      sets.push_back(absl::StrCat(name, " = excluded.", name));
    }
  }
  if (spec.has_composition) {
    for (const Column& column : kComposition) {
      sets.push_back(absl::StrCat(column.name, " = excluded.", column.name));
    }
  }
  return absl::StrCat(" on conflict (", absl::StrJoin(key, ", "), ") do update set ",
                      absl::StrJoin(sets, ", "));
}

}  // namespace

const TableSpec& SpecOf(Table table) { return kSpecs[static_cast<size_t>(table)]; }

std::string InsertSql(const TableSpec& spec, absl::string_view schema) {
  std::vector<std::string> into = {"cellar_id"};
  std::vector<std::string> values = {"$1::uuid"};
  std::vector<Column> unnested(spec.columns.begin(), spec.columns.end());
  for (const Column& column : spec.columns) {
    into.emplace_back(column.name);
    values.push_back(absl::StrCat("u.", column.name, column.name == "attributes" ? "::jsonb" : ""));
  }
  if (spec.has_composition) {
    unnested.insert(unnested.end(), std::begin(kBounds), std::end(kBounds));
    size_t next = 2 + unnested.size();
    for (size_t i = 0; i < std::size(kComposition); ++i) {
      const absl::string_view bound = i < kShareColumns ? "share" : "dose";
      into.emplace_back(kComposition[i].name);
      values.push_back(absl::StrCat("($", next++, "::", PgTypeName(kComposition[i].type), "[])[u.",
                                    bound, "_begin:u.", bound, "_end]"));
    }
  }
  return absl::StrCat("insert into ", schema, ".", spec.name, " (", absl::StrJoin(into, ", "),
                      ") select ", absl::StrJoin(values, ", "), " from ", Unnest(unnested, 2),
                      spec.is_state ? OnConflict(spec) : "");
}

std::string DeleteSql(const TableSpec& spec) {
  const std::vector<Column> key(spec.columns.begin(), spec.columns.begin() + spec.key_columns);
  std::string sql = absl::StrCat("delete from rundlet.", spec.name, " t using ", Unnest(key, 2),
                                 " where t.cellar_id = $1");
  for (const Column& column : key) {
    absl::StrAppend(&sql, " and t.", column.name, " = u.", column.name);
  }
  return sql;
}

}  // namespace rundlet::server
