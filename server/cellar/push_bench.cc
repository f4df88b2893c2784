// How fast pushes become durable, next to the least that any server could do with the same bytes:
// COPY them into a table with a key (cellar, number), with as many commits, into the same cluster.
// Fold, projections, hashes and checks are what the difference pays for.
//
// Usage: push_bench [ENTRIES [ENTRIES A PUSH [ROUNDS]]]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/testing/bench_database.h"
#include "server/testing/cellar_test.h"
#include "server/testing/test_device.h"
#include "tests/bench/club_history.h"

namespace rundlet::server {
namespace {

double CopyBytes(const std::string& connection_string, const std::vector<std::string>& entries,
                 size_t at_once, const std::string& table) {
  pqxx::connection connection(connection_string);
  pqxx::nontransaction(connection)
      .exec(
          absl::StrCat("create table ", table,
                       " (cellar_id uuid, seq bigint, bytes bytea, primary key (cellar_id, seq))"));
  const std::string cellar = "0190163d-0000-7000-8000-000000000001";
  const absl::Time start = absl::Now();
  for (size_t begin = 0; begin < entries.size(); begin += at_once) {
    pqxx::work work(connection);
    pqxx::stream_to stream(work, table);
    for (size_t i = begin; i < std::min(begin + at_once, entries.size()); ++i) {
      stream << std::make_tuple(cellar, i + 1,
                                absl::StrCat("\\x", absl::BytesToHexString(entries[i])));
    }
    stream.complete();
    work.commit();
  }
  return absl::ToDoubleSeconds(absl::Now() - start);
}

// Seconds of all pushes, and of the first and the last of them.
struct PushTimes {
  double all_s = 0;
  double first_s = 0;
  double last_s = 0;
  size_t edge = 0;  // entries in the first, and in the last
};

// How many pushes the first and the last are: 10,000 entries where a push has 1,000.
constexpr size_t kEdgePushes = 10;

PushTimes PushAll(Replica& replica, const Device& device, const std::vector<std::string>& entries,
                  size_t at_once) {
  const size_t pushes = (entries.size() + at_once - 1) / at_once;
  PushTimes times{.edge = std::min(kEdgePushes * at_once, entries.size())};
  for (size_t i = 0; i < pushes; ++i) {
    const size_t begin = i * at_once;
    const std::vector<std::string> batch(
        entries.begin() + begin, entries.begin() + std::min(begin + at_once, entries.size()));
    const absl::Time start = absl::Now();
    const absl::StatusOr<PushResult> result = replica.Push(device, batch);
    const double took_s = absl::ToDoubleSeconds(absl::Now() - start);
    if (!result.ok() || result->journal_size < begin + batch.size()) {
      std::fprintf(stderr, "error: %s\n", result.status().ToString().c_str());
      std::exit(1);
    }
    times.all_s += took_s;
    if (i < kEdgePushes) times.first_s += took_s;
    if (i + kEdgePushes >= pushes) times.last_s += took_s;
  }
  return times;
}

// From nothing to a fold that can be asked.
double LoadCold(const std::string& connection_string, const Uuid& cellar_id) {
  Replica replica(connection_string);
  const absl::Time start = absl::Now();
  const auto transaction =
      CellarTransaction::Begin(replica.pool(), cellar_id, absl::InfiniteFuture());
  if (!transaction.ok() || !ReadCellar(**transaction, replica.cache(), [](const LoadedCellar&) {
                              return absl::OkStatus();
                            }).ok()) {
    std::exit(1);
  }
  return absl::ToDoubleSeconds(absl::Now() - start);
}

absl::Status Run(size_t entry_count, size_t at_once, int rounds) {
  const auto bench = BenchDatabase::Start();
  if (!bench.ok()) return bench.status();
  const std::string& database = (*bench)->connection_string();
  Admin& admin = (*bench)->admin();
  for (int round = 0; round < rounds; ++round) {
    const auto made = MakeTestCellar(admin, absl::StrCat("Circle ", round));
    if (!made.ok()) return made.status();
    testing::TestDevice device("phone", {.cellar_id = made->device.cellar_id,
                                         .member_id = made->device.member_id,
                                         .device_id = made->device.device_id});
    const std::vector<std::string> entries = BytesOf(bench::ClubHistory(device, entry_count));
    size_t bytes = 0;
    for (const std::string& entry : entries) bytes += entry.size();
    Replica replica(database);
    const double copy_s = CopyBytes(database, entries, at_once, absl::StrCat("bare_", round));
    const PushTimes push = PushAll(replica, made->device, entries, at_once);
    const double load_s = LoadCold(database, made->device.cellar_id);
    const auto count = static_cast<double>(entries.size());
    std::printf(
        "%zu entries of %zu bytes, %zu a transaction: COPY %.0f/s, push %.0f/s (%.2f of that), "
        "load %.0f/s\n",
        entries.size(), bytes / entries.size(), at_once, count / copy_s, count / push.all_s,
        copy_s / push.all_s, count / load_s);
    std::printf("  an entry of the last %zu over one of the first: %.2f times\n", push.edge,
                push.last_s / push.first_s);
  }
  return (*bench)->Stop();
}

}  // namespace
}  // namespace rundlet::server

int main(int argc, char** argv) {
  const size_t entries = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 50'000;
  const size_t at_once = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 1'000;
  const int rounds = argc > 3 ? std::atoi(argv[3]) : 3;
  const absl::Status status = rundlet::server::Run(entries, std::max<size_t>(at_once, 1), rounds);
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
