#ifndef RUNDLET_SERVER_STORE_STATEMENTS_H_
#define RUNDLET_SERVER_STORE_STATEMENTS_H_

#include <map>
#include <pqxx/pqxx>
#include <string>
#include <utility>

namespace rundlet::server {

// The stores' statements by their names. Where a connection is a session of the database, they are
// prepared on it once. Where a pooler stands between, each transaction may meet another session,
// which knows nothing of them: there each is sent with its text. Thread-safe once it is filled.
class Statements {
 public:
  // As pqxx::connection has it.
  void prepare(const std::string& name, std::string text) { texts_[name] = std::move(text); }

  void PrepareOn(pqxx::connection& connection) const {
    for (const auto& [name, text] : texts_) connection.prepare(name, text);
  }
  const std::string& TextOf(const std::string& name) const { return texts_.at(name); }

 private:
  std::map<std::string, std::string> texts_;
};

// A transaction that runs statements by their names, prepared on its connection or not.
class CellarWork : public pqxx::work {
 public:
  // `unprepared` is null where they are prepared, and else outlives this.
  CellarWork(pqxx::connection& connection, const Statements* unprepared)
      : namedclass("cellar transaction"), pqxx::work(connection), unprepared_(unprepared) {}

  template <typename... Args>
  pqxx::result exec_prepared(const std::string& name, Args&&... args) {
    if (unprepared_ == nullptr) return pqxx::work::exec_prepared(name, std::forward<Args>(args)...);
    return exec_params(unprepared_->TextOf(name), std::forward<Args>(args)...);
  }
  template <typename... Args>
  pqxx::row exec_prepared1(const std::string& name, Args&&... args) {
    if (unprepared_ == nullptr)
      return pqxx::work::exec_prepared1(name, std::forward<Args>(args)...);
    return exec_params1(unprepared_->TextOf(name), std::forward<Args>(args)...);
  }

 private:
  const Statements* unprepared_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_STATEMENTS_H_
