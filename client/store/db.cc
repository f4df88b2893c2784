#include "client/store/db.h"

#include <fcntl.h>

#include <cerrno>
#include <utility>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr int kBusyTimeoutMs = 5'000;

// More than the store has texts for one job; beyond it they are prepared anew each time.
constexpr size_t kMaxIdleStatements = 64;

}  // namespace

StatementCache::Statement StatementCache::Take(absl::string_view sql) {
  const auto found = idle_.find(sql);
  if (found == idle_.end()) return nullptr;
  Statement statement = std::move(found->second);
  idle_.erase(found);
  return statement;
}

void StatementCache::Give(Statement statement) {
  sqlite3_reset(statement.get());
  sqlite3_clear_bindings(statement.get());
  if (idle_.size() < kMaxIdleStatements) {
    const char* sql = sqlite3_sql(statement.get());
    idle_.try_emplace(sql, std::move(statement));
  }
}

absl::StatusOr<Db> Db::Open(const std::string& path, bool create) {
  if (!FileExists(path)) {
    if (!create) return absl::NotFoundError(absl::StrCat("there is no ", path));
    // Made by us, as SQLite would let everyone read it.
    const Fd fd(open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600));
    if (!fd.ok()) return ErrnoStatus("make", path, errno);
  }
  sqlite3* raw = nullptr;
  const int code =
      sqlite3_open_v2(path.c_str(), &raw, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, nullptr);
  Db db(raw, path);
  if (code != SQLITE_OK) return db.Error(code, "open");
  if (absl::Status status = db.SetUp(); !status.ok()) return status;
  return db;
}

absl::Status Db::SetUp() {
  sqlite3_extended_result_codes(handle(), 1);
  sqlite3_busy_timeout(handle(), kBusyTimeoutMs);
  // Every command opens and closes the store: emptying the log each time would cost it several more
  // flushes.
  sqlite3_db_config(handle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
  for (const char* pragma :
       {"PRAGMA trusted_schema=OFF", "PRAGMA cell_size_check=ON", "PRAGMA journal_mode=WAL",
        "PRAGMA synchronous=FULL", "PRAGMA foreign_keys=ON"}) {
    if (absl::Status status = Exec(pragma); !status.ok()) return status;
  }
  return absl::OkStatus();
}

absl::Status Db::Exec(const std::string& sql) {
  const int code = sqlite3_exec(handle(), sql.c_str(), nullptr, nullptr, nullptr);
  return code == SQLITE_OK ? absl::OkStatus() : Error(code, "use");
}

absl::Status Db::Error(int code, absl::string_view doing) const {
  const std::string said =
      absl::StrCat("cannot ", doing, " ", path_, ": ",
                   handle() == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(handle()));
  switch (code & 0xff) {
    case SQLITE_OK:
    case SQLITE_DONE:
    case SQLITE_ROW:
      return absl::OkStatus();
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return absl::UnavailableError(
          absl::StrCat(said, " (another program is using it); try again"));
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return absl::DataLossError(
          absl::StrCat(said, "; what is whole in it can be saved with: rundlet repair"));
    case SQLITE_IOERR:
      return absl::DataLossError(absl::StrCat(said, "; look after the disk before anything else"));
    case SQLITE_FULL:
      return absl::ResourceExhaustedError(
          absl::StrCat(said, "; make room on the disk and try again"));
    default:
      return absl::InternalError(said);
  }
}

Query::Query(const Db& db, absl::string_view sql)
    : db_(db), idle_(db.statements()), statement_(idle_.Take(sql)) {
  if (statement_ != nullptr) return;
  sqlite3_stmt* raw = nullptr;
  Check(sqlite3_prepare_v3(db.handle(), sql.data(), static_cast<int>(sql.size()),
                           SQLITE_PREPARE_PERSISTENT, &raw, nullptr),
        "read");
  statement_.reset(raw);
}

Query::~Query() {
  if (statement_ != nullptr && status_.ok()) idle_.Give(std::move(statement_));
}

void Query::Check(int code, absl::string_view doing) {
  if (status_.ok() && code != SQLITE_OK) status_ = db_.Error(code, doing);
}

Query& Query::Bind(int64_t value) {
  if (status_.ok()) Check(sqlite3_bind_int64(statement_.get(), next_parameter_++, value), "use");
  return *this;
}

Query& Query::Bind(absl::string_view bytes) {
  if (status_.ok()) {
    // An empty view may point nowhere, which SQLite would take for NULL.
    Check(sqlite3_bind_blob64(statement_.get(), next_parameter_++,
                              bytes.empty() ? "" : bytes.data(), bytes.size(), SQLITE_TRANSIENT),
          "use");
  }
  return *this;
}

Query& Query::BindText(absl::string_view text) {
  if (status_.ok()) {
    Check(sqlite3_bind_text64(statement_.get(), next_parameter_++, text.empty() ? "" : text.data(),
                              text.size(), SQLITE_TRANSIENT, SQLITE_UTF8),
          "use");
  }
  return *this;
}

Query& Query::BindNull() {
  if (status_.ok()) Check(sqlite3_bind_null(statement_.get(), next_parameter_++), "use");
  return *this;
}

bool Query::Next() {
  if (!status_.ok()) return false;
  const int code = sqlite3_step(statement_.get());
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) Check(code, "use");
  return false;
}

absl::Status Query::Run() {
  while (Next()) {
  }
  Reset();
  return status_;
}

void Query::Reset() {
  sqlite3_reset(statement_.get());
  sqlite3_clear_bindings(statement_.get());
  next_parameter_ = 1;
}

std::string Query::Bytes(int column) const {
  const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_.get(), column));
  const int size = sqlite3_column_bytes(statement_.get(), column);
  return bytes == nullptr ? std::string() : std::string(bytes, static_cast<size_t>(size));
}

absl::StatusOr<Transaction> Transaction::Begin(Db& db) {
  if (absl::Status status = db.Exec("BEGIN IMMEDIATE"); !status.ok()) return status;
  return Transaction(db);
}

Transaction::~Transaction() {
  // Nothing more can be done where undoing fails: the connection is about to go, and the store with
  // it stays as it was.
  if (db_ != nullptr) db_->Exec("ROLLBACK").IgnoreError();
}

absl::Status Transaction::Commit() {
  const absl::Status status = db_->Exec("COMMIT");
  if (status.ok()) db_ = nullptr;
  return status;
}

}  // namespace rundlet::client
