#include "server/pg/pq_status.h"

#include <exception>
#include <new>
#include <pqxx/except>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

absl::Status Cannot(absl::StatusCode code, absl::string_view doing, absl::string_view reason) {
  return absl::Status(
      code, absl::StrCat("cannot ", doing, ": ", absl::StripTrailingAsciiWhitespace(reason)));
}

absl::Status Cannot(absl::StatusCode code, absl::string_view doing, const std::exception& error) {
  return Cannot(code, doing, absl::string_view(error.what()));
}

}  // namespace

absl::StatusCode CodeOfSqlState(absl::string_view sql_state) {
  if (sql_state == "23505") return absl::StatusCode::kAlreadyExists;
  if (sql_state == "42501") return absl::StatusCode::kPermissionDenied;
  if (sql_state == "57014") return absl::StatusCode::kDeadlineExceeded;
  if (sql_state == "55P03") return absl::StatusCode::kAborted;      // lock_not_available
  if (sql_state == "25006") return absl::StatusCode::kUnavailable;  // a standby, or a default
  if (absl::StartsWith(sql_state, "40")) return absl::StatusCode::kAborted;
  if (absl::StartsWith(sql_state, "53")) return absl::StatusCode::kResourceExhausted;
  if (absl::StartsWith(sql_state, "08")) return absl::StatusCode::kUnavailable;
  if (absl::StartsWith(sql_state, "57P")) return absl::StatusCode::kUnavailable;
  // libpq made the error by itself, without word from a server: the connection is gone.
  if (sql_state.empty()) return absl::StatusCode::kUnavailable;
  return absl::StatusCode::kInternal;
}

absl::Status StatusOfCurrentException(absl::string_view doing) {
  try {
    throw;
  } catch (const pqxx::too_many_connections& error) {  // before its base, broken_connection
    return Cannot(absl::StatusCode::kResourceExhausted, doing, error);
  } catch (const pqxx::broken_connection& error) {
    return Cannot(absl::StatusCode::kUnavailable, doing, error);
  } catch (const pqxx::in_doubt_error& error) {
    return Cannot(absl::StatusCode::kUnavailable, doing,
                  absl::StrCat("it is not known whether the commit took place: ", error.what()));
  } catch (const pqxx::statement_completion_unknown& error) {  // before its base
    return Cannot(absl::StatusCode::kUnavailable, doing,
                  absl::StrCat("it is not known whether the statement was done: ", error.what()));
  } catch (const pqxx::transaction_rollback& error) {  // serialization failure, deadlock
    return Cannot(absl::StatusCode::kAborted, doing, error);
  } catch (const pqxx::insufficient_privilege& error) {  // libpqxx 6 leaves its SQLSTATE empty
    return Cannot(absl::StatusCode::kPermissionDenied, doing, error);
  } catch (const pqxx::sql_error& error) {
    return Cannot(CodeOfSqlState(error.sqlstate()), doing, error);
  } catch (const std::bad_alloc&) {
    return Cannot(absl::StatusCode::kResourceExhausted, doing, "out of memory");
  } catch (const std::exception& error) {
    return Cannot(absl::StatusCode::kInternal, doing, error);
  } catch (...) {
    return Cannot(absl::StatusCode::kInternal, doing, "an exception of unknown type");
  }
}

}  // namespace rundlet::server
