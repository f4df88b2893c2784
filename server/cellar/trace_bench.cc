// How fast a lot is traced forward in memory, next to the recursive SQL over the projections that
// says the same. Both are asked of one book in one run, and what they answer is compared first.
//
// Usage: trace_bench [MOVEMENTS [DESCENDANTS]]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "core/lineage/trace.h"
#include "core/lineage/whereabouts.h"
#include "server/testing/bench_database.h"
#include "server/testing/cellar_test.h"
#include "server/testing/test_device.h"
#include "tests/bench/ring_history.h"

namespace rundlet::server {
namespace {

constexpr int kTimes = 20;

// The fourth query of docs/sql.md, for one lot; it has an index of its own here, without which each
// of its steps reads every movement.
constexpr char kIndex[] =
    "create index on rundlet.movement (cellar_id, from_parcel_entry_id, from_parcel_ordinal)";
constexpr char kSql[] = R"sql(
with recursive source as (
  select entry_id, ordinal from rundlet.parcel
  where cellar_id = $1 and lot_id = $2 and origin = 'source'
), descendant (entry_id, ordinal) as (
  select entry_id, ordinal from source
  union
  select m.to_parcel_entry_id, m.to_parcel_ordinal
  from descendant d
  join rundlet.movement m on m.cellar_id = $1
    and m.from_parcel_entry_id = d.entry_id and m.from_parcel_ordinal = d.ordinal
  where m.commodity = 'wine' and m.to_parcel_entry_id is not null
)
select v.vessel_id as place, sum(s.volume_ul) as ul, (select count(*) from descendant) as reached
from descendant d
join rundlet.vessel v on v.cellar_id = $1
  and v.parcel_entry_id = d.entry_id and v.parcel_ordinal = d.ordinal
join rundlet.vessel_share s on s.cellar_id = $1 and s.vessel_id = v.vessel_id
join source o on o.entry_id = s.origin_entry_id and o.ordinal = s.origin_ordinal
group by v.vessel_id
union all
select p.place_id, sum(s.volume_ul), 0
from descendant d
join rundlet.parcel p on p.cellar_id = $1 and p.entry_id = d.entry_id and p.ordinal = d.ordinal
join rundlet.thing t on t.cellar_id = $1 and t.thing_id = p.place_id and t.kind = 'bottling'
join rundlet.parcel_share s on s.cellar_id = $1
  and s.entry_id = p.entry_id and s.ordinal = p.ordinal
join source o on o.entry_id = s.origin_entry_id and o.ordinal = s.origin_ordinal
group by p.place_id
)sql";

void Fail(const std::string& why) {
  std::fprintf(stderr, "error: %s\n", why.c_str());
  std::exit(1);
}

// Milliseconds of the median of some runs.
template <typename Run>
double MedianMs(int times, Run run) {
  std::vector<double> all;
  for (int i = 0; i < times; ++i) {
    const absl::Time start = absl::Now();
    run();
    all.push_back(absl::ToDoubleMilliseconds(absl::Now() - start));
  }
  std::sort(all.begin(), all.end());
  return all[all.size() / 2];
}

using Amounts = std::map<std::string, int64_t>;  // by place

Amounts AmountsOf(const v1::Trace& trace) {
  Amounts amounts;
  for (const v1::TraceEnd& end : trace.ends()) {
    if (!end.thing_id().empty()) amounts[end.thing_id()] = end.amount().base();
  }
  return amounts;
}

void Measure(const std::string& database, const Uuid& cellar_id, const Fold& fold,
             const std::string& lot) {
  const Handle thing = fold.interner().Find(testing::IdOf(lot));
  const auto no_entry = [](const Uuid&) -> absl::StatusOr<v1::Entry> {
    return absl::NotFoundError("none is asked for");
  };
  const auto trace = [&](bool steps) {
    auto made = MakeTrace(fold, thing, v1::TRACE_DIRECTION_FORWARD, no_entry, {.steps = steps});
    if (!made.ok()) Fail(made.status().ToString());
    return *std::move(made);
  };
  pqxx::connection connection(database);
  pqxx::nontransaction work(connection);
  work.exec(absl::StrCat("set rundlet.cellar_id = '", cellar_id.ToString(), "'"));
  const std::string lot_id = testing::IdOf(lot).ToString();
  const auto ask = [&] { return work.exec_params(kSql, cellar_id.ToString(), lot_id); };

  Amounts by_sql;
  size_t reached = 0;
  for (const auto& row : ask()) {
    by_sql[row[0].as<std::string>()] += row[1].as<int64_t>();
    reached = std::max(reached, row[2].as<size_t>());
  }
  if (by_sql != AmountsOf(trace(false))) Fail("the trace and the SQL do not agree");
  const double walk_ms = MedianMs(kTimes, [&] {
    const Followed followed = FollowThing(fold, thing);
    if (WalkOf(fold, followed).reached.size() != reached) Fail("another number of descendants");
  });
  const double trace_ms = MedianMs(kTimes, [&] { trace(false); });
  const double steps_ms = MedianMs(kTimes, [&] { trace(true); });
  const double sql_ms = MedianMs(3, [&] { ask(); });
  std::printf(
      "%zu descendants among %zu movements: walk %.2f ms, trace %.2f ms, with its steps %.2f ms, "
      "recursive SQL %.1f ms (%.0f times)\n",
      reached, fold.state().movements().size(), walk_ms, trace_ms, steps_ms, sql_ms,
      sql_ms / trace_ms);
}

absl::Status Run(int movements, int descendants) {
  const auto bench = BenchDatabase::Start();
  if (!bench.ok()) return bench.status();
  const std::string& database = (*bench)->connection_string();
  Admin& admin = (*bench)->admin();
  const auto made = MakeTestCellar(admin, "Circle");
  if (!made.ok()) return made.status();
  testing::TestDevice device("phone", {.cellar_id = made->device.cellar_id,
                                       .member_id = made->device.member_id,
                                       .device_id = made->device.device_id});
  const int rings = std::max(1, movements / (2 * descendants));
  const std::vector<std::string> entries = BytesOf(bench::RingHistory(device, rings, descendants));
  Replica replica(database);
  constexpr size_t kAtOnce = 2000;
  for (size_t begin = 0; begin < entries.size(); begin += kAtOnce) {
    const std::vector<std::string> batch(
        entries.begin() + begin, entries.begin() + std::min(begin + kAtOnce, entries.size()));
    if (const auto pushed = replica.Push(made->device, batch); !pushed.ok()) return pushed.status();
  }
  pqxx::connection connection(database);
  pqxx::nontransaction(connection).exec(kIndex);
  pqxx::nontransaction(connection).exec("analyze");
  const auto transaction =
      CellarTransaction::Begin(replica.pool(), made->device.cellar_id, absl::InfiniteFuture());
  if (!transaction.ok()) return transaction.status();
  const absl::Status read =
      ReadCellar(**transaction, replica.cache(), [&](const LoadedCellar& cellar) {
        Measure(database, made->device.cellar_id, cellar.fold(), bench::RingLot(rings / 2));
        return absl::OkStatus();
      });
  if (!read.ok()) return read;
  return (*bench)->Stop();
}

}  // namespace
}  // namespace rundlet::server

int main(int argc, char** argv) {
  const int movements = argc > 1 ? std::atoi(argv[1]) : 1'000'000;
  const int descendants = argc > 2 ? std::atoi(argv[2]) : 8'000;
  if (movements < 1 || descendants < 1) {
    std::fputs("usage: trace_bench [MOVEMENTS [DESCENDANTS]]\n", stderr);
    return 2;
  }
  const absl::Status status = rundlet::server::Run(movements, descendants);
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
