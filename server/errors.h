#ifndef RUNDLET_SERVER_ERRORS_H_
#define RUNDLET_SERVER_ERRORS_H_

#include <grpcpp/support/status.h>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"

namespace rundlet::server {

// Every error that the service returns; the table with code, reason and text of each is in
// errors.cc and, for people, in docs/sync.md.
enum class Error {
  kTokenMissing,
  kTokenMalformed,
  kTokenRefused,
  kDeviceRevoked,
  kTooManyFailures,
  kTooManyCalls,
  kNotAllowed,
  kBadJoin,
  kInvitationRefused,
  kInvitationUsed,
  kInvitationExpired,
  kInvitationRevoked,
  kDeviceExists,
  kBadId,
  kBadName,
  kBadRole,
  kBadKey,
  kBadExpiry,
  kInvitationExists,
  kUnknownDevice,
  kUnknownMember,
  kUnknownInvitation,
  kLastMaster,
  kTooManyEntries,
  kPushTooLarge,
  kNoDeviceKey,
  kBadSignature,
  kBadPageSize,
  kBadPageToken,
  kBadSubject,
  kBadDirection,
  kUnknownThing,
  kNothingToTrace,
  kCannotTrace,
  kBadTreeSize,
  kUnknownEntry,
  kNoSigningKey,
  kNoTree,
  kBusy,
  kTooLate,
  kDatabaseAway,
  kDatabaseFull,
  kCollision,
  kServerTooOld,
  kJournalDamaged,
  kDefect,
};
inline constexpr size_t kErrorCount = static_cast<size_t>(Error::kDefect) + 1;

struct ErrorSpec {
  Error error;
  absl::StatusCode code;
  absl::string_view reason;    // ErrorInfo.reason
  absl::string_view text;      // says what to do
  absl::Duration retry_delay;  // zero: trying the same again does not help
};

const ErrorSpec& SpecOf(Error error);

// The error as a status whose payloads are its ErrorInfo and, where trying again helps, RetryInfo.
// `detail`, if any, follows the text. `retry_delay`, if any, stands in for the table's.
absl::Status MakeError(Error error, absl::string_view detail = "",
                       absl::Duration retry_delay = absl::ZeroDuration());

// The reason that MakeError put into a status; empty for any other status.
std::string ReasonOf(const absl::Status& status);

// What the caller of the service gets. A status that MakeError did not make is one of storage or a
// defect: its text may tell more of the database than a stranger should know, so that it becomes
// the table's error for its code.
absl::Status ForCaller(const absl::Status& status);

// As gRPC sends it: the payloads in google.rpc.Status.
grpc::Status ToGrpcStatus(const absl::Status& status);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_ERRORS_H_
