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

namespace {

// Every statement goes by key, and is planned once for all parameters. Tables are small and without
// statistics when a plan is made, so what is cheapest then - reading all that a cellar has - is not
// what is cheap later: statements are written so that there is no such way
// (statement_plans_test.cc).
constexpr std::pair<const char*, const char*> kSettings[] = {
    {"plan_cache_mode", "force_generic_plan"},
    {"enable_seqscan", "off"},
    {"jit", "off"},
    {"bytea_output", "hex"}};

const Statements& AllStatements() {
  static const Statements* all = [] {
    auto* statements = new Statements;
    statements->prepare("set_cellar", "select set_config('rundlet.cellar_id', $1, true)");
    JournalStore::Prepare(*statements);
    ProjectionStore::Prepare(*statements);
    DeviceStore::Prepare(*statements);
    TreeStore::Prepare(*statements);
    SealStore::Prepare(*statements);
    return statements;
  }();
  return *all;
}

// All that a session would have been told, for this transaction alone and in one round trip.
void SetUp(pqxx::work& work, const ConnectionPool& pool, const std::string& cellar) {
  std::string query = "select set_config('rundlet.cellar_id', " + work.quote(cellar) + ", true)";
  const auto set = [&](const std::string& name, const std::string& value) {
    absl::StrAppend(&query, ", set_config(", work.quote(name), ", ", work.quote(value), ", true)");
  };
  for (const auto& [name, value] : kSettings) set(name, value);
  for (const auto& [name, value] : pool.session_settings()) set(name, value);
  work.exec(query);
}

}  // namespace

void CellarTransaction::Prepare(pqxx::connection& connection) {
  {
    pqxx::nontransaction work(connection);
    for (const auto& [name, value] : kSettings) work.exec(absl::StrCat("set ", name, " = ", value));
  }
  AllStatements().PrepareOn(connection);
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
    const bool pooled = pool.transaction_pooling();
    transaction->work_.emplace(*transaction->lease_, pooled ? &AllStatements() : nullptr);
    if (pooled) {
      SetUp(transaction->work(), pool, transaction->cellar_);
    } else {
      transaction->work_->exec_prepared("set_cellar", transaction->cellar_);
    }
  });
  if (!begun.ok()) return begun;
  return transaction;
}

absl::Status CellarTransaction::Commit() {
  return Guard("commit", [this] { work_->commit(); });
}

}  // namespace rundlet::server
