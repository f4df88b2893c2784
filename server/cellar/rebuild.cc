#include "server/cellar/rebuild.h"

#include <memory>

#include "absl/functional/function_ref.h"
#include "server/cellar/cellar_cache.h"
#include "server/store/journal_store.h"
#include "server/store/tree_store.h"

namespace rundlet::server {
namespace {

constexpr size_t kRowsAtOnce = 20'000;

// Hands all rows that there should be to `write`, piece by piece.
absl::Status WriteAll(const Fold& fold,
                      absl::FunctionRef<absl::Status(const ProjectionRows&)> write) {
  ProjectionRows rows(fold);
  for (RowId row = 0; row < fold.sequence().rows(); ++row) {
    rows.AddEntry(row, /*may_exist=*/false);
    if (rows.count() < kRowsAtOnce) continue;
    const absl::Status status = write(rows);
    if (!status.ok()) return status;
    rows.Clear();
  }
  const State& state = fold.state();
  for (Handle vessel = 1; vessel < state.holdings(); ++vessel) {
    const Holding& holding = state.holding(vessel);
    if (holding.volume_ul > 0 || holding.dose_count > 0) rows.AddVessel(vessel);
  }
  for (const Balance& balance : state.balances()) {
    if (balance.amount != 0) rows.AddBalance(balance);
  }
  for (int kind = v1::Thing::kVessel; kind <= v1::Thing::kBottling; ++kind) {
    fold.directory().ForEach(
        static_cast<v1::Thing::KindCase>(kind),
        [&rows](Handle thing, const Directory::Known&) { rows.AddThing(thing); });
  }
  return write(rows);
}

// Begins, locks the head, and folds the journal from nothing into `cellar`.
absl::StatusOr<std::unique_ptr<CellarTransaction>> BeginAndFold(ConnectionPool& pool,
                                                                const Uuid& cellar_id,
                                                                absl::Time deadline,
                                                                CachedCellar& cellar)
    ABSL_EXCLUSIVE_LOCKS_REQUIRED(cellar.mutex) {
  absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool, cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  const absl::StatusOr<uint64_t> size = JournalStore(**transaction).LockHead();
  if (!size.ok()) return size.status();
  const absl::Status folded = CatchUp(**transaction, *size, cellar);
  if (!folded.ok()) return folded;
  return transaction;
}

RebuildResult ResultOf(const LoadedCellar& cellar) {
  return {.entries = cellar.size(), .digest = cellar.fold().StateDigest(), .differences = {}};
}

}  // namespace

absl::StatusOr<RebuildResult> RebuildProjections(ConnectionPool& pool, const Uuid& cellar_id,
                                                 absl::Time deadline) {
  CachedCellar cellar;
  absl::MutexLock lock(&cellar.mutex);
  const auto transaction = BeginAndFold(pool, cellar_id, deadline, cellar);
  if (!transaction.ok()) return transaction.status();
  ProjectionStore store(**transaction);
  absl::Status status = store.Clear();
  if (status.ok()) {
    status = WriteAll(cellar.loaded->fold(),
                      [&store](const ProjectionRows& rows) { return store.Write(rows); });
  }
  // Tiles are never changed: those that are missing are written.
  if (status.ok()) status = TreeStore(**transaction).Append(cellar.loaded->AllTiles());
  if (status.ok()) status = (*transaction)->Commit();
  if (!status.ok()) return status;
  return ResultOf(*cellar.loaded);
}

absl::StatusOr<RebuildResult> CompareProjections(ConnectionPool& pool, const Uuid& cellar_id,
                                                 int limit, absl::Time deadline) {
  CachedCellar cellar;
  absl::MutexLock lock(&cellar.mutex);
  const auto transaction = BeginAndFold(pool, cellar_id, deadline, cellar);
  if (!transaction.ok()) return transaction.status();
  ProjectionStore store(**transaction);
  absl::Status status = store.MakeCopies();
  if (status.ok()) {
    status = WriteAll(cellar.loaded->fold(),
                      [&store](const ProjectionRows& rows) { return store.WriteToCopies(rows); });
  }
  if (!status.ok()) return status;
  absl::StatusOr<std::vector<ProjectionDifference>> differences = store.CompareWithCopies(limit);
  if (!differences.ok()) return differences.status();
  RebuildResult result = ResultOf(*cellar.loaded);
  result.differences = *std::move(differences);
  return result;
}

}  // namespace rundlet::server
