#ifndef RUNDLET_SERVER_PG_CONNECTION_POOL_H_
#define RUNDLET_SERVER_PG_CONNECTION_POOL_H_

#include <functional>
#include <memory>
#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/base/thread_annotations.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "server/sync/mutex.h"

namespace rundlet::server {

// A bounded set of database connections, made when first needed and kept for the next borrower.
//
// Every connection acts as one role, has a statement timeout, and has been through a preparing
// hook. A connection that broke, or that the server closed while it lay idle, is replaced and never
// lent; a lent connection that breaks stays broken (libpqxx's silent reconnecting, which would
// forget the role, is switched off): the borrower gets kUnavailable, returns it and borrows anew.
//
// Thread-safe; a lease belongs to one thread at a time. The pool must outlive its leases.
class ConnectionPool {
 public:
  struct Options {
    std::string connection_string;  // for libpq: keywords or a postgresql:// address
    int max_connections = 8;
    std::string role = "rundlet_server";  // set on every connection; empty: stays the login role
    std::string application_name = "rundletd";
    absl::Duration statement_timeout = absl::Seconds(30);
    absl::Duration connect_timeout = absl::Seconds(5);  // unless the connection string has one
    // The database is reached through a pooler that lends a session for one transaction at a time
    // (PgBouncer in transaction mode). What is set on a session would be lost, or meet strangers:
    // so nothing is, and `prepare` is not called. Who begins a transaction sets it up by
    // session_settings().
    bool transaction_pooling = false;
    // Run once on each new connection, e.g. to prepare statements. May throw what libpqxx throws.
    std::function<void(pqxx::connection&)> prepare;
  };

  class Lease {
   public:
    ~Lease() { Return(); }
    Lease(Lease&& other) noexcept;
    Lease& operator=(Lease&& other) noexcept;

    pqxx::connection& operator*() const { return *connection_; }
    pqxx::connection* operator->() const { return connection_.get(); }

    // Closes the connection instead of keeping it, for one whose state is in doubt.
    void Discard();

   private:
    friend class ConnectionPool;
    Lease(ConnectionPool* pool, std::unique_ptr<pqxx::connection> connection);
    void Return();

    ConnectionPool* pool_;
    std::unique_ptr<pqxx::connection> connection_;
  };

  explicit ConnectionPool(Options options);
  ~ConnectionPool();
  ConnectionPool(const ConnectionPool&) = delete;
  ConnectionPool& operator=(const ConnectionPool&) = delete;

  // Lends a connection, waiting for one to be returned until `deadline` if all are lent.
  // kDeadlineExceeded if none is; kUnavailable or kResourceExhausted if a new one cannot be made
  // (after `connect_timeout` at the latest, which may be past the deadline); kPermissionDenied if
  // the login role may not act as `role`.
  absl::StatusOr<Lease> Borrow(absl::Time deadline) ABSL_LOCKS_EXCLUDED(mutex_);

  struct Use {
    int lent = 0, idle = 0;
  };
  Use use() const ABSL_LOCKS_EXCLUDED(mutex_);
  int max_connections() const { return options_.max_connections; }
  bool transaction_pooling() const { return options_.transaction_pooling; }
  // Name and value of what each session is told: in this order, the role last.
  std::vector<std::pair<std::string, std::string>> session_settings() const;

  // Closes the idle connections.
  void CloseIdle() ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  absl::StatusOr<std::unique_ptr<pqxx::connection>> Connect() const;
  void TakeBack(std::unique_ptr<pqxx::connection> connection) ABSL_LOCKS_EXCLUDED(mutex_);

  const Options options_;
  mutable Mutex mutex_;
  int lent_ ABSL_GUARDED_BY(mutex_) = 0;
  // The one returned last is lent first, so that a pool larger than the load keeps few sessions
  // warm.
  std::vector<std::unique_ptr<pqxx::connection>> idle_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_CONNECTION_POOL_H_
