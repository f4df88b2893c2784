#include "server/store/cellar_transaction.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "server/pg/pq_status.h"
#include "server/store/device_store.h"
#include "server/store/journal_store.h"
#include "server/store/projection_store.h"
#include "server/store/seal_store.h"
#include "server/store/tree_store.h"

namespace rundlet::server {

void CellarTransaction::Prepare(pqxx::connection& connection) {
  {
    pqxx::nontransaction work(connection);
    // Every statement goes by key, row by row, and is planned once for all parameters. Tables are
    // small and without statistics when a plan is made, so what is cheapest then - reading all that
    // a cellar has - is not what is cheap later (statement_plans_test.cc).
    work.exec("set plan_cache_mode = force_generic_plan");
    for (const char* way : {"seqscan", "bitmapscan", "hashjoin", "mergejoin"})
      work.exec(absl::StrCat("set enable_", way, " = off"));
    work.exec("set jit = off");
    work.exec("set bytea_output = hex");
  }
  connection.prepare("set_cellar", "select set_config('rundlet.cellar_id', $1, true)");
  JournalStore::Prepare(connection);
  ProjectionStore::Prepare(connection);
  DeviceStore::Prepare(connection);
  TreeStore::Prepare(connection);
  SealStore::Prepare(connection);
}

CellarTransaction::CellarTransaction(ConnectionPool::Lease lease, const Uuid& cellar_id)
    : lease_(std::move(lease)), cellar_id_(cellar_id), cellar_(cellar_id.ToString()) {}

absl::StatusOr<std::unique_ptr<CellarTransaction>> CellarTransaction::Begin(ConnectionPool& pool,
                                                                            const Uuid& cellar_id,
                                                                            absl::Time deadline) {
  absl::StatusOr<ConnectionPool::Lease> lease = pool.Borrow(deadline);
  if (!lease.ok()) return lease.status();
  std::unique_ptr<CellarTransaction> transaction(
      new CellarTransaction(*std::move(lease), cellar_id));
  const absl::Status begun = Guard("begin a transaction", [&] {
    transaction->work_.emplace(*transaction->lease_);
    transaction->work_->exec_prepared("set_cellar", transaction->cellar_);
  });
  if (!begun.ok()) return begun;
  return transaction;
}

absl::Status CellarTransaction::Commit() {
  return Guard("commit", [this] { work_->commit(); });
}

}  // namespace rundlet::server
