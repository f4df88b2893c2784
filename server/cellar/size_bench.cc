// What an entry costs in the database: bytes in each table and its indexes, bytes of write-ahead
// log, and bytes of memory in the server's cache. Many cellars of the size of a club's year, filled
// with small pushes as people sync them. The figures of docs/scale.md are from here.
//
// Usage: size_bench [CELLARS [ENTRIES A CELLAR [ENTRIES A PUSH]]]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/testing/bench_database.h"
#include "server/testing/cellar_test.h"
#include "server/testing/test_device.h"
#include "tests/bench/club_history.h"

namespace rundlet::server {
namespace {

struct Shape {
  size_t cellars, entries, at_once;
};

struct Filled {
  size_t entries = 0, bytes = 0, pushes = 0;
  size_t cache_bytes = 0;
  double seconds = 0;
};

absl::Status Fill(Admin& admin, Replica& replica, const Shape& shape, Filled& filled) {
  for (size_t i = 0; i < shape.cellars; ++i) {
    const auto made = MakeTestCellar(admin, absl::StrCat("Circle ", i));
    if (!made.ok()) return made.status();
    testing::TestDevice device("phone", {.cellar_id = made->device.cellar_id,
                                         .member_id = made->device.member_id,
                                         .device_id = made->device.device_id});
    const std::vector<std::string> entries = BytesOf(bench::ClubHistory(device, shape.entries));
    const absl::Time begun = absl::Now();
    for (size_t at = 0; at < entries.size(); at += shape.at_once) {
      const auto end = entries.begin() + std::min(at + shape.at_once, entries.size());
      const auto pushed = replica.Push(made->device, {entries.begin() + at, end});
      if (!pushed.ok()) return pushed.status();
      ++filled.pushes;
    }
    filled.seconds += absl::ToDoubleSeconds(absl::Now() - begun);
    filled.entries += entries.size();
    for (const std::string& entry : entries) filled.bytes += entry.size();
  }
  filled.cache_bytes = replica.cache().bytes();
  return absl::OkStatus();
}

void PrintTables(pqxx::connection& connection, double entries) {
  pqxx::nontransaction work(connection);
  std::printf("%-28s %12s %12s %12s\n", "table", "rows/entry", "heap B/entry", "index B/entry");
  double heap = 0, index = 0;
  for (const auto& row : work.exec(
           "select c.relname, c.reltuples, pg_table_size(c.oid), pg_indexes_size(c.oid) "
           "from pg_class c join pg_namespace n on n.oid = c.relnamespace "
           "where n.nspname = 'rundlet' and c.relkind = 'r' order by pg_total_relation_size(c.oid) "
           "desc")) {
    std::printf("%-28s %12.2f %12.1f %12.1f\n", row[0].c_str(), row[1].as<double>() / entries,
                row[2].as<double>() / entries, row[3].as<double>() / entries);
    heap += row[2].as<double>() / entries;
    index += row[3].as<double>() / entries;
  }
  std::printf("%-28s %12s %12.1f %12.1f\n", "all", "", heap, index);
}

absl::Status Run(const Shape& shape) {
  const auto bench = BenchDatabase::Start();
  if (!bench.ok()) return bench.status();
  const std::string& database = (*bench)->connection_string();
  Admin& admin = (*bench)->admin();
  Filled filled;
  {
    Replica replica(database);
    pqxx::connection connection(database);
    const auto wal = [&connection] {
      return pqxx::nontransaction(connection)
          .exec1("select pg_wal_lsn_diff(pg_current_wal_lsn(), '0/0')")[0]
          .as<double>();
    };
    const double before = wal();
    const absl::Status status = Fill(admin, replica, shape, filled);
    if (!status.ok()) return status;
    const double logged = wal() - before;
    pqxx::nontransaction(connection).exec("vacuum analyze");
    const auto entries = static_cast<double>(filled.entries);
    std::printf("%zu cellars, %zu entries of %zu bytes in %zu pushes of up to %zu\n", shape.cellars,
                filled.entries, filled.bytes / filled.entries, filled.pushes, shape.at_once);
    PrintTables(connection, entries);
    std::printf("write-ahead log: %.0f bytes an entry, %.0f a push\n", logged / entries,
                logged / static_cast<double>(filled.pushes));
    std::printf("memory in the cache: %.0f bytes an entry\n",
                static_cast<double>(filled.cache_bytes) / entries);
    std::printf("by one writer, one after the other: %.0f pushes a second, %.0f entries a second\n",
                static_cast<double>(filled.pushes) / filled.seconds, entries / filled.seconds);
  }
  return (*bench)->Stop();
}

}  // namespace
}  // namespace rundlet::server

int main(int argc, char** argv) {
  const auto argument = [&](int i, size_t fallback) {
    return argc > i ? std::max<size_t>(1, std::strtoul(argv[i], nullptr, 10)) : fallback;
  };
  const absl::Status status =
      rundlet::server::Run({argument(1, 100), argument(2, 500), argument(3, 5)});
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
