#include "server/store/projection_store.h"

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"

namespace rundlet::server {
namespace {

template <typename Fn>
void ForEachTable(Fn&& fn) {
  for (size_t i = 0; i < kTableCount; ++i) fn(static_cast<Table>(i));
}

std::string InsertName(Table table) { return absl::StrCat("insert_", SpecOf(table).name); }
std::string DeleteName(Table table) { return absl::StrCat("delete_", SpecOf(table).name); }

void AppendParameters(const std::vector<PgArray>& arrays, std::vector<pqxx::binarystring>& out) {
  for (const PgArray& array : arrays) out.push_back(array.Parameter());
}

std::vector<pqxx::binarystring> InsertParameters(const TableRows& rows) {
  std::vector<pqxx::binarystring> parameters;
  AppendParameters(rows.columns, parameters);
  AppendParameters(rows.composition, parameters);
  return parameters;
}

}  // namespace

void ProjectionStore::Prepare(Statements& statements) {
  ForEachTable([&](Table table) {
    statements.prepare(InsertName(table), InsertSql(SpecOf(table), "rundlet"));
    statements.prepare(DeleteName(table), DeleteSql(SpecOf(table)));
  });
}

absl::Status ProjectionStore::Write(const ProjectionRows& rows) {
  return Guard("write projections", [&] {
    ForEachTable([&](Table table) {
      const TableRows& of_table = rows.table(table);
      if (!of_table.gone[0].empty()) {
        std::vector<pqxx::binarystring> keys;
        AppendParameters(of_table.gone, keys);
        tx_.work().exec_prepared(DeleteName(table), tx_.cellar(),
                                 pqxx::prepare::make_dynamic_params(keys));
      }
      if (of_table.empty()) return;
      const std::vector<pqxx::binarystring> parameters = InsertParameters(of_table);
      tx_.work().exec_prepared(InsertName(table), tx_.cellar(),
                               pqxx::prepare::make_dynamic_params(parameters));
    });
  });
}

absl::Status ProjectionStore::Clear() {
  return Guard("remove projections", [&] {
    ForEachTable([&](Table table) {
      tx_.work().exec_params0(
          absl::StrCat("delete from rundlet.", SpecOf(table).name, " where cellar_id = $1"),
          tx_.cellar());
    });
  });
}

absl::Status ProjectionStore::MakeCopies() {
  return Guard("make copies of the projections", [&] {
    ForEachTable([&](Table table) {
      const absl::string_view name = SpecOf(table).name;
      tx_.work().exec0(absl::StrCat("create temp table ", name, " (like rundlet.", name,
                                    " including indexes) on commit drop"));
    });
  });
}

absl::Status ProjectionStore::WriteToCopies(const ProjectionRows& rows) {
  return Guard("write copies of projections", [&] {
    ForEachTable([&](Table table) {
      if (rows.table(table).empty()) return;
      const std::vector<pqxx::binarystring> parameters = InsertParameters(rows.table(table));
      tx_.work().exec_params(InsertSql(SpecOf(table), "pg_temp"), tx_.cellar(),
                             pqxx::prepare::make_dynamic_params(parameters));
    });
  });
}

absl::StatusOr<std::vector<ProjectionDifference>> ProjectionStore::CompareWithCopies(int limit) {
  return Guard("compare projections", [&] {
    std::vector<ProjectionDifference> differences;
    ForEachTable([&](Table table) {
      const absl::string_view name = SpecOf(table).name;
      const auto less = [&](absl::string_view a, absl::string_view b) {
        return absl::StrCat("(select * from ", a, ".", name,
                            " where cellar_id = $1 except select * from ", b, ".", name,
                            " where cellar_id = $1)");
      };
      const pqxx::result rows = tx_.work().exec_params(
          absl::StrCat("select true, d::text from ", less("rundlet", "pg_temp"),
                       " d union all select false, d::text from ", less("pg_temp", "rundlet"),
                       " d order by 2, 1 limit $2"),
          tx_.cellar(), limit);
      for (const pqxx::row& row : rows) {
        differences.push_back(
            {.table = std::string(name), .in_database = row[0].as<bool>(), .row = row[1].c_str()});
      }
    });
    return differences;
  });
}

}  // namespace rundlet::server
