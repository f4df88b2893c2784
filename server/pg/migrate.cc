#include "server/pg/migrate.h"

#include <cstddef>
#include <pqxx/pqxx>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "core/base/sha256.h"
#include "server/log/log.h"
#include "server/pg/pq_status.h"

namespace rundlet::server {
namespace {

// The record of applied migrations; the one table that belongs to the database as a whole and not
// to a cellar. It has no row-level security, and the server's role has no rights to it.
constexpr char kMakeRecord[] = R"sql(
create schema if not exists rundlet;
create table if not exists rundlet.schema_migration (
  number     integer     primary key check (number >= 1),
  name       text        not null,
  sha256     bytea       not null check (octet_length(sha256) = 32),
  applied_at timestamptz not null
);
)sql";

// "if not exists" looks before it makes, so two servers can both look and one of them then meets
// the other's row in the catalogue. The second attempt finds what the other made.
constexpr int kAttempts = 5;

constexpr char kCurrentTransaction[] = "select pg_current_xact_id()::text";

std::string HashOf(const Migration& migration) {
  Sha256 sha;
  sha.Update(migration.sql);
  return absl::BytesToHexString(HashBytes(sha.Finish()));
}

std::string Title(int number, absl::string_view name) {
  return absl::StrFormat("%04d_%s", number, name);
}

absl::Status CheckNumbers(absl::Span<const Migration> migrations) {
  for (size_t i = 0; i < migrations.size(); ++i) {
    if (migrations[i].number == static_cast<int>(i) + 1) continue;
    return absl::InvalidArgumentError(
        absl::StrCat("migration ", Title(migrations[i].number, migrations[i].name),
                     " stands where number ", i + 1, " should: number them without gaps"));
  }
  return absl::OkStatus();
}

// Compares what the database has applied with what we have. Returns how many it has.
absl::StatusOr<size_t> CheckApplied(const pqxx::result& applied,
                                    absl::Span<const Migration> migrations) {
  for (size_t i = 0; i < applied.size(); ++i) {
    const int number = applied[i][0].as<int>();
    const std::string name = applied[i][1].as<std::string>();
    if (number > static_cast<int>(migrations.size())) {
      return absl::FailedPreconditionError(absl::StrCat(
          "the database is newer than this program: it has migration ", Title(number, name),
          ", and this program knows ", migrations.size(), ": run a newer rundletd"));
    }
    const Migration& ours = migrations[i];
    if (number != ours.number || name != ours.name || applied[i][2].c_str() != HashOf(ours)) {
      return absl::FailedPreconditionError(absl::StrCat(
          "migration ", Title(ours.number, ours.name),
          " is not the one that the database applied (", Title(number, name), ", sha256 ",
          applied[i][2].c_str(),
          "): a migration must not change once it was applied; run the program that made this "
          "database, or put the change into a new migration"));
    }
  }
  return applied.size();
}

absl::Status MakeRecord(pqxx::connection& connection) {
  absl::Status status;
  for (int attempt = 0; attempt < kAttempts; ++attempt) {
    status = Guard("make the record of migrations", [&connection] {
      pqxx::work work(connection);
      if (!work.exec1("select to_regclass('rundlet.schema_migration')")[0].is_null()) return;
      work.exec(kMakeRecord);
      work.commit();
    });
    if (status.code() != absl::StatusCode::kAlreadyExists) break;
  }
  return status;
}

// Runs one migration. One that ends the transaction inside its text would not be undone as a whole
// if it failed later; that is a defect of the file and refused.
absl::Status Apply(pqxx::work& work, const Migration& migration, absl::Time now) {
  const std::string before = work.exec1(kCurrentTransaction)[0].as<std::string>();
  work.exec(std::string(migration.sql));
  if (work.exec1(kCurrentTransaction)[0].as<std::string>() != before) {
    return absl::InternalError(absl::StrCat("migration ", Title(migration.number, migration.name),
                                            " must not begin or end a transaction"));
  }
  work.exec_params0("insert into rundlet.schema_migration values ($1, $2, decode($3, 'hex'), $4)",
                    migration.number, std::string(migration.name), HashOf(migration),
                    absl::FormatTime(absl::RFC3339_full, now, absl::UTCTimeZone()));
  return absl::OkStatus();
}

// Applies the next migration that is missing and returns its number, or 0 if none is.
absl::StatusOr<int> ApplyNext(pqxx::connection& connection, const MigrateOptions& options) {
  pqxx::work work(connection);
  work.exec_params("select set_config('lock_timeout', $1, true)",
                   absl::StrCat(absl::ToInt64Milliseconds(options.lock_timeout)));
  // Conflicts with itself and with writers; readers go on.
  work.exec("lock table rundlet.schema_migration in share row exclusive mode");
  const absl::StatusOr<size_t> applied = CheckApplied(
      work.exec("select number, name, encode(sha256, 'hex') from rundlet.schema_migration "
                "order by number"),
      options.migrations);
  if (!applied.ok()) return applied.status();
  if (*applied == options.migrations.size()) return 0;
  const Migration& next = options.migrations[*applied];
  const absl::Status status = Guard(absl::StrCat("apply migration ", Title(next.number, next.name)),
                                    [&] { return Apply(work, next, options.now); });
  if (!status.ok()) return status;
  work.commit();
  Log(Level::kInfo, "migrated", {{"number", next.number}, {"name", next.name}});
  return next.number;
}

}  // namespace

absl::StatusOr<std::vector<int>> Migrate(const MigrateOptions& options) {
  absl::Status status = CheckNumbers(options.migrations);
  if (!status.ok()) return status;
  return Guard("migrate the database", [&options]() -> absl::StatusOr<std::vector<int>> {
    pqxx::connection connection(options.connection_string);
    const absl::Status made = MakeRecord(connection);
    if (!made.ok()) return made;
    std::vector<int> numbers;
    while (true) {
      const absl::StatusOr<int> number = ApplyNext(connection, options);
      if (!number.ok()) return number.status();
      if (*number == 0) return numbers;
      numbers.push_back(*number);
    }
  });
}

}  // namespace rundlet::server
