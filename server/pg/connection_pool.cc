#include "server/pg/connection_pool.h"

#include <poll.h>

#include <utility>

#include "absl/status/status.h"
#include "absl/strings/str_cat.h"
#include "server/pg/connection_string.h"
#include "server/pg/pq_status.h"

namespace rundlet::server {
namespace {

// On an idle connection nothing is due from the server: if there is something to read, it is the
// end of the connection or the reason for it. Costs one system call and no round trip.
bool IsQuiet(const pqxx::connection& connection) {
  if (!connection.is_open()) return false;
  pollfd socket = {.fd = connection.sock(), .events = POLLIN | POLLRDHUP, .revents = 0};
  return ::poll(&socket, 1, 0) == 0;
}

// libpqxx 6 marks the call as deprecated because version 7 never reconnects by itself, which is
// what we want here.
void NeverReconnect(pqxx::connection& connection) {
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wdeprecated-declarations"
  connection.inhibit_reactivation(true);
#pragma GCC diagnostic pop
}

}  // namespace

ConnectionPool::Lease::Lease(ConnectionPool* pool, std::unique_ptr<pqxx::connection> connection)
    : pool_(pool), connection_(std::move(connection)) {}

ConnectionPool::Lease::Lease(Lease&& other) noexcept
    : pool_(std::exchange(other.pool_, nullptr)), connection_(std::move(other.connection_)) {}

ConnectionPool::Lease& ConnectionPool::Lease::operator=(Lease&& other) noexcept {
  if (this != &other) {
    Return();
    pool_ = std::exchange(other.pool_, nullptr);
    connection_ = std::move(other.connection_);
  }
  return *this;
}

void ConnectionPool::Lease::Discard() {
  connection_.reset();
  Return();
}

void ConnectionPool::Lease::Return() {
  if (pool_ != nullptr) std::exchange(pool_, nullptr)->TakeBack(std::move(connection_));
}

ConnectionPool::ConnectionPool(Options options) : options_(std::move(options)) {}

ConnectionPool::~ConnectionPool() = default;

absl::StatusOr<ConnectionPool::Lease> ConnectionPool::Borrow(absl::Time deadline) {
  std::vector<std::unique_ptr<pqxx::connection>> broken;  // closed after the lock is let go
  std::unique_ptr<pqxx::connection> connection;
  {
    MutexLock lock(&mutex_);
    const auto one_free = [this]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) {
      return lent_ < options_.max_connections;
    };
    if (!mutex_.AwaitUntil(one_free, deadline)) {
      return absl::DeadlineExceededError(
          absl::StrCat("all ", options_.max_connections,
                       " database connections stayed in use until the deadline: try again later"));
    }
    ++lent_;
    while (connection == nullptr && !idle_.empty()) {
      if (IsQuiet(*idle_.back())) {
        connection = std::move(idle_.back());
      } else {
        broken.push_back(std::move(idle_.back()));
      }
      idle_.pop_back();
    }
  }
  Lease lease(this, std::move(connection));  // gives the place back if connecting fails
  if (lease.connection_ == nullptr) {
    absl::StatusOr<std::unique_ptr<pqxx::connection>> made = Connect();
    if (!made.ok()) return made.status();
    lease.connection_ = *std::move(made);
  }
  return lease;
}

std::vector<std::pair<std::string, std::string>> ConnectionPool::session_settings() const {
  std::vector<std::pair<std::string, std::string>> settings = {
      {"application_name", options_.application_name},
      {"statement_timeout", absl::StrCat(absl::ToInt64Milliseconds(options_.statement_timeout))}};
  if (!options_.role.empty()) settings.emplace_back("role", options_.role);
  return settings;
}

absl::StatusOr<std::unique_ptr<pqxx::connection>> ConnectionPool::Connect() const {
  return Guard("connect to the database", [this] {
    auto connection = std::make_unique<pqxx::connection>(
        WithTimeouts(options_.connection_string, options_.connect_timeout));
    NeverReconnect(*connection);
    if (options_.transaction_pooling) return connection;
    {
      pqxx::nontransaction work(*connection);
      for (const auto& [name, value] : session_settings())
        work.exec_params("select set_config($1, $2, false)", name, value);
    }
    if (options_.prepare) options_.prepare(*connection);
    return connection;
  });
}

void ConnectionPool::TakeBack(std::unique_ptr<pqxx::connection> connection) {
  if (connection != nullptr && !IsQuiet(*connection)) connection.reset();
  MutexLock lock(&mutex_);
  --lent_;
  if (connection != nullptr) idle_.push_back(std::move(connection));
}

ConnectionPool::Use ConnectionPool::use() const {
  MutexLock lock(&mutex_);
  return {.lent = lent_, .idle = static_cast<int>(idle_.size())};
}

void ConnectionPool::CloseIdle() {
  std::vector<std::unique_ptr<pqxx::connection>> idle;
  MutexLock lock(&mutex_);
  idle.swap(idle_);
}

}  // namespace rundlet::server
