#include "tests/faults/book.h"

#include <sqlite3.h>

#include <algorithm>
#include <memory>

#include "core/base/uuid.h"
#include "gtest/gtest.h"

namespace rundlet::testing {
namespace {

struct CloseDb {
  void operator()(sqlite3* db) const { sqlite3_close_v2(db); }
};
struct FinishStatement {
  void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};

std::string BytesIn(sqlite3_stmt* statement, int column) {
  const void* bytes = sqlite3_column_blob(statement, column);
  if (bytes == nullptr) return "";
  return {static_cast<const char*>(bytes),
          static_cast<size_t>(sqlite3_column_bytes(statement, column))};
}

}  // namespace

std::vector<BookLine> ReadBook(const std::string& home) {
  const std::string path = home + "/cellar.db";
  sqlite3* opened = nullptr;
  const int code = sqlite3_open_v2(path.c_str(), &opened, SQLITE_OPEN_READWRITE, nullptr);
  const std::unique_ptr<sqlite3, CloseDb> db(opened);
  std::vector<BookLine> lines;
  if (code != SQLITE_OK) {
    ADD_FAILURE() << path << ": " << sqlite3_errstr(code);
    return lines;
  }
  sqlite3_busy_timeout(db.get(), 10'000);
  // Looking must mend nothing: the log stays as it was left.
  sqlite3_db_config(db.get(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
  sqlite3_stmt* prepared = nullptr;
  sqlite3_prepare_v2(db.get(),
                     "SELECT entry_id, state, seq, device_seq, bytes, reason FROM entry ORDER BY "
                     "local_no",
                     -1, &prepared, nullptr);
  const std::unique_ptr<sqlite3_stmt, FinishStatement> statement(prepared);
  int step = SQLITE_ERROR;
  while (prepared != nullptr && (step = sqlite3_step(prepared)) == SQLITE_ROW) {
    lines.push_back({.entry_id = Uuid::FromBytes(BytesIn(prepared, 0)).value_or(Uuid()).ToString(),
                     .state = BytesIn(prepared, 1),
                     .seq = static_cast<uint64_t>(sqlite3_column_int64(prepared, 2)),
                     .own = sqlite3_column_type(prepared, 3) != SQLITE_NULL,
                     .bytes = BytesIn(prepared, 4),
                     .reason = BytesIn(prepared, 5)});
  }
  if (step != SQLITE_DONE) ADD_FAILURE() << path << ": " << sqlite3_errmsg(db.get());
  return lines;
}

int64_t CountIn(const std::vector<BookLine>& book, const std::string& state) {
  return std::count_if(book.begin(), book.end(),
                       [&](const BookLine& line) { return line.state == state; });
}

}  // namespace rundlet::testing
