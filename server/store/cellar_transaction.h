#ifndef RUNDLET_SERVER_STORE_CELLAR_TRANSACTION_H_
#define RUNDLET_SERVER_STORE_CELLAR_TRANSACTION_H_

#include <memory>
#include <optional>
#include <pqxx/pqxx>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "server/pg/connection_pool.h"
#include "server/store/statements.h"

namespace rundlet::server {

// A READ COMMITTED transaction on one cellar. Row-level security is told which one before anything
// else, so that no statement in it can see or write another cellar's rows.
//
// Undone when it goes away without Commit. For one thread at a time.
class CellarTransaction {
 public:
  // Sets a new session up and prepares the statements of all stores on it: for
  // ConnectionPool::Options::prepare. Where the pool says that no session lasts longer than a
  // transaction, each one is set up by itself.
  static void Prepare(pqxx::connection& connection);

  // Borrows a connection until `deadline` at the latest, and begins.
  static absl::StatusOr<std::unique_ptr<CellarTransaction>> Begin(ConnectionPool& pool,
                                                                  const Uuid& cellar_id,
                                                                  absl::Time deadline);
  CellarTransaction(const CellarTransaction&) = delete;
  CellarTransaction& operator=(const CellarTransaction&) = delete;

  // kUnavailable: it is not known whether it took place.
  absl::Status Commit();

  const Uuid& cellar_id() const { return cellar_id_; }
  // The cellar's id as a parameter.
  const std::string& cellar() const { return cellar_; }
  CellarWork& work() { return *work_; }

 private:
  CellarTransaction(ConnectionPool::Lease lease, const Uuid& cellar_id);

  ConnectionPool::Lease lease_;  // outlives the work on it
  Uuid cellar_id_;
  std::string cellar_;
  std::optional<CellarWork> work_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_CELLAR_TRANSACTION_H_
