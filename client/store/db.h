#ifndef RUNDLET_CLIENT_STORE_DB_H_
#define RUNDLET_CLIENT_STORE_DB_H_

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

#include "absl/container/flat_hash_map.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::client {

// Statements that were prepared and are not in use now. Preparing one takes several times as long
// as running it for one row, and a sync runs the same few for each entry. Not thread-safe.
class StatementCache {
 public:
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;

  // One with this text, ready to be bound; null if there is none.
  Statement Take(absl::string_view sql);
  // Resets it and keeps it for the next.
  void Give(Statement statement);

 private:
  absl::flat_hash_map<std::string, Statement> idle_;  // by their texts
};

// SQLite, as far as the store needs it: every call that can fail says so by a status.
//
//   Unavailable         another program has the store locked for longer than we wait
//   DataLoss            the file is damaged, or the disk gives errors
//   ResourceExhausted   the disk is full
//   Internal            anything else; the text is SQLite's
//
// Not safe to share between threads.
class Db {
 public:
  // Opens the file and sets it up so that what is committed outlives a power cut (WAL,
  // synchronous=FULL). NotFound if there is no such file, unless `create`; a new file is its
  // owner's alone.
  static absl::StatusOr<Db> Open(const std::string& path, bool create);

  absl::Status Exec(const std::string& sql);
  sqlite3* handle() const { return db_.get(); }
  // The status of a result code, with what SQLite says of the last call.
  absl::Status Error(int code, absl::string_view doing) const;
  StatementCache& statements() const { return *statements_; }
  int64_t changes() const { return sqlite3_changes64(db_.get()); }
  const std::string& path() const { return path_; }

 private:
  struct Close {
    void operator()(sqlite3* db) const { sqlite3_close_v2(db); }
  };
  Db(sqlite3* db, std::string path) : db_(db), path_(std::move(path)) {}
  absl::Status SetUp();

  std::unique_ptr<sqlite3, Close> db_;
  // Goes before the connection. A query, which changes nothing of ours, may take from it.
  std::unique_ptr<StatementCache> statements_ = std::make_unique<StatementCache>();
  std::string path_;
};

// One prepared statement. The first error sticks: bind and step freely, and look at it in the end.
class Query {
 public:
  Query(const Db& db, absl::string_view sql);
  ~Query();
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  Query& Bind(int64_t value);
  Query& Bind(absl::string_view bytes);  // as a blob
  Query& BindText(absl::string_view text);
  Query& BindNull();

  // To the next row; false when there is none, or after an error.
  bool Next();
  // Runs a statement that gives no rows, then is ready to be bound again.
  absl::Status Run();
  // Ready to be bound again.
  void Reset();

  int64_t Int(int column) const { return sqlite3_column_int64(statement_.get(), column); }
  bool IsNull(int column) const {
    return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
  }
  // Bytes or text; empty for null.
  std::string Bytes(int column) const;

  const absl::Status& status() const { return status_; }

 private:
  void Check(int code, absl::string_view doing);

  const Db& db_;
  StatementCache& idle_;  // the Db's; stays where it is when the Db is moved
  StatementCache::Statement statement_;
  int next_parameter_ = 1;
  absl::Status status_;
};

// A write transaction: taken at once (BEGIN IMMEDIATE), undone unless committed.
class Transaction {
 public:
  static absl::StatusOr<Transaction> Begin(Db& db);
  ~Transaction();
  Transaction(Transaction&& other) noexcept : db_(other.db_) { other.db_ = nullptr; }
  Transaction& operator=(Transaction&&) = delete;

  // Durable on OK. After an error nothing can be said: it may or may not be on disk.
  absl::Status Commit();

 private:
  explicit Transaction(Db& db) : db_(&db) {}
  Db* db_;  // null once it is over
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_DB_H_
