#ifndef RUNDLET_SERVER_PG_PQ_STATUS_H_
#define RUNDLET_SERVER_PG_PQ_STATUS_H_

#include <type_traits>
#include <utility>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// The storage boundary: libpqxx throws below it, and absl::Status goes on above it. The codes say
// what the caller should do:
//
//   kUnavailable        no connection, or it broke, or the database is starting, stopping or a
//                       standby: try again later on a new connection. After a commit that was under
//                       way it is not known whether it took place; the text says so.
//   kAborted            a serialization failure, deadlock or lock timeout: run the transaction
//   again. kAlreadyExists      a unique key is taken. kPermissionDenied   the role may not do this,
//   or row-level security forbids the row. kResourceExhausted  disk, memory or connections are used
//   up: nothing was written; try later. kDeadlineExceeded   statement_timeout or a cancel request
//   ended the statement. kInternal           anything else: a defect of ours or a damaged database.

// The status of the exception being handled; call it inside a catch block only. `doing` names the
// work for the text: "cannot <doing>: <reason>".
absl::Status StatusOfCurrentException(absl::string_view doing);

// The code for an SQLSTATE of PostgreSQL (manual, appendix A).
absl::StatusCode CodeOfSqlState(absl::string_view sql_state);

namespace pq_internal {

template <typename T>
struct Guarded {
  using Type = absl::StatusOr<T>;
};
template <>
struct Guarded<void> {
  using Type = absl::Status;
};
template <>
struct Guarded<absl::Status> {
  using Type = absl::Status;
};
template <typename T>
struct Guarded<absl::StatusOr<T>> {
  using Type = absl::StatusOr<T>;
};

}  // namespace pq_internal

// Runs `fn` and turns every exception into a status. Returns Status for a `fn` that returns void or
// Status, and StatusOr<T> for one that returns T or StatusOr<T>.
//
//   absl::StatusOr<int64_t> size = Guard("read the head", [&] { return
//   tx.exec1(...)[0].as<int64_t>(); });
template <typename Fn>
typename pq_internal::Guarded<std::invoke_result_t<Fn>>::Type Guard(absl::string_view doing,
                                                                    Fn&& fn) {
  try {
    if constexpr (std::is_void_v<std::invoke_result_t<Fn>>) {
      std::forward<Fn>(fn)();
      return absl::OkStatus();
    } else {
      return std::forward<Fn>(fn)();
    }
  } catch (...) {
    return StatusOfCurrentException(doing);
  }
}

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_PQ_STATUS_H_
