#include "server/errors.h"

#include <string>

#include "absl/strings/cord.h"
#include "absl/strings/str_cat.h"
#include "rundlet/v1/error_details.pb.h"

namespace rundlet::server {
namespace {

constexpr char kErrorInfoUrl[] = "type.googleapis.com/google.rpc.ErrorInfo";
constexpr char kRetryInfoUrl[] = "type.googleapis.com/google.rpc.RetryInfo";

using Code = absl::StatusCode;
constexpr absl::Duration kNever = absl::ZeroDuration();

// In the order of Error.
const ErrorSpec kErrors[] = {
    {Error::kTokenMissing, Code::kUnauthenticated, "TOKEN_MISSING",
     "the call carries no token: send metadata 'authorization: Bearer <token>'", kNever},
    {Error::kTokenMalformed, Code::kUnauthenticated, "TOKEN_MALFORMED",
     "this is not a token of this service: copy it whole, it begins with rdl1.", kNever},
    {Error::kTokenRefused, Code::kUnauthenticated, "TOKEN_REFUSED",
     "this token is not good here: ask a cellar master for an invitation, and join again", kNever},
    {Error::kDeviceRevoked, Code::kUnauthenticated, "DEVICE_REVOKED",
     "this device was revoked: ask a cellar master for an invitation, and join again", kNever},
    {Error::kTooManyFailures, Code::kResourceExhausted, "TOO_MANY_FAILURES",
     "too many attempts from this address failed: wait, then try again", absl::Seconds(1)},
    {Error::kTooManyCalls, Code::kResourceExhausted, "TOO_MANY_CALLS",
     "this is more than the server takes from one caller: wait, then try again", absl::Seconds(1)},
    {Error::kNotAllowed, Code::kPermissionDenied, "NOT_ALLOWED",
     "your role in this cellar does not allow this: ask a cellar master", kNever},
    {Error::kBadJoin, Code::kInvalidArgument, "BAD_JOIN",
     "this is no request to join that can be meant", kNever},
    {Error::kInvitationRefused, Code::kUnauthenticated, "INVITATION_REFUSED",
     "this invitation is not good here: ask a cellar master for a new one", kNever},
    {Error::kInvitationUsed, Code::kFailedPrecondition, "INVITATION_USED",
     "this invitation let another device in already, and it is good for one: ask for a new one. If "
     "that device is not yours, say so to a cellar master, who can revoke it",
     kNever},
    {Error::kInvitationExpired, Code::kFailedPrecondition, "INVITATION_EXPIRED",
     "this invitation has expired: ask a cellar master for a new one", kNever},
    {Error::kInvitationRevoked, Code::kFailedPrecondition, "INVITATION_REVOKED",
     "this invitation was taken back: ask a cellar master for a new one", kNever},
    {Error::kDeviceExists, Code::kAlreadyExists, "DEVICE_EXISTS",
     "a device with this id is here already: join as a new one, by another id", kNever},
    {Error::kBadId, Code::kInvalidArgument, "BAD_ID", "an id is 16 bytes, not all of them zero",
     kNever},
    {Error::kBadName, Code::kInvalidArgument, "BAD_NAME",
     "a name is not empty, has at most 200 bytes of UTF-8, and no control characters", kNever},
    {Error::kBadRole, Code::kInvalidArgument, "BAD_ROLE", "a role is master, hand or guest",
     kNever},
    {Error::kBadKey, Code::kInvalidArgument, "BAD_KEY", "a key is the 32 bytes of Ed25519", kNever},
    {Error::kBadExpiry, Code::kInvalidArgument, "BAD_EXPIRY",
     "an invitation expires in the future, and within thirty days", kNever},
    {Error::kInvitationExists, Code::kAlreadyExists, "INVITATION_EXISTS",
     "an invitation with this key is here already: make a new key", kNever},
    {Error::kUnknownDevice, Code::kNotFound, "UNKNOWN_DEVICE",
     "no device of this cellar has this id", kNever},
    {Error::kUnknownMember, Code::kNotFound, "UNKNOWN_MEMBER",
     "no member with a device that is good has this id", kNever},
    {Error::kUnknownInvitation, Code::kNotFound, "UNKNOWN_INVITATION",
     "no invitation of this cellar has this key", kNever},
    {Error::kLastMaster, Code::kFailedPrecondition, "LAST_MASTER",
     "this is the last device of a cellar master, and nobody could let others in: make somebody "
     "else a master first. Who keeps the server can invite one, too: rundletd invite --role master",
     kNever},
    {Error::kTooManyEntries, Code::kInvalidArgument, "TOO_MANY_ENTRIES",
     "a push takes at most 1,000 entries: push them in several", kNever},
    {Error::kPushTooLarge, Code::kInvalidArgument, "PUSH_TOO_LARGE",
     "a push takes at most 3 MiB of entries: push them in several", kNever},
    {Error::kNoDeviceKey, Code::kFailedPrecondition, "NO_DEVICE_KEY",
     "this token is for a program that reads: a device that writes joins by an invitation", kNever},
    {Error::kBadSignature, Code::kInvalidArgument, "BAD_SIGNATURE",
     "the signature is not one of this device's key over these entries in this order", kNever},
    {Error::kBadPageSize, Code::kInvalidArgument, "BAD_PAGE_SIZE",
     "a page size cannot be below 0; 0 lets the server choose", kNever},
    {Error::kBadPageToken, Code::kInvalidArgument, "BAD_PAGE_TOKEN",
     "this page token is not one of this list: begin again without", kNever},
    {Error::kBadSubject, Code::kInvalidArgument, "BAD_SUBJECT",
     "a subject is named by the 16 bytes of its id", kNever},
    {Error::kBadDirection, Code::kInvalidArgument, "BAD_DIRECTION",
     "say whether to trace back or forward", kNever},
    {Error::kUnknownThing, Code::kNotFound, "UNKNOWN_THING", "nothing in this cellar has this id",
     kNever},
    {Error::kNothingToTrace, Code::kFailedPrecondition, "NOTHING_TO_TRACE",
     "there is nothing to trace", kNever},
    {Error::kCannotTrace, Code::kInvalidArgument, "CANNOT_TRACE",
     "this cannot be traced in that direction", kNever},
    {Error::kBadTreeSize, Code::kInvalidArgument, "BAD_TREE_SIZE",
     "the journal is not, or was not, so long", kNever},
    {Error::kUnknownEntry, Code::kNotFound, "UNKNOWN_ENTRY",
     "the journal has no such entry, or not within that size", kNever},
    {Error::kNoSigningKey, Code::kFailedPrecondition, "NO_SIGNING_KEY",
     "this server signs no checkpoints", kNever},
    {Error::kNoTree, Code::kFailedPrecondition, "NO_TREE",
     "the tree over this journal is not complete yet: it will be with the next entry, or after "
     "rundletd rebuild",
     kNever},
    {Error::kBusy, Code::kResourceExhausted, "BUSY",
     "the server has more work than it can take: wait, then try again", absl::Milliseconds(500)},
    {Error::kTooLate, Code::kDeadlineExceeded, "TOO_LATE",
     "the call's deadline passed before its turn came: nothing was done; try again with more time",
     absl::Milliseconds(500)},
    {Error::kDatabaseAway, Code::kUnavailable, "DATABASE_AWAY",
     "the server cannot reach its database at the moment: try again in a moment", absl::Seconds(2)},
    {Error::kDatabaseFull, Code::kResourceExhausted, "DATABASE_FULL",
     "the database has no room: nothing was recorded; tell the administrator", absl::Seconds(30)},
    {Error::kCollision, Code::kAborted, "COLLISION",
     "the transaction collided with another one and was undone: try again",
     absl::Milliseconds(100)},
    {Error::kServerTooOld, Code::kFailedPrecondition, "SERVER_TOO_OLD",
     "this server is older than the cellar's journal: the administrator must upgrade it", kNever},
    {Error::kJournalDamaged, Code::kDataLoss, "JOURNAL_DAMAGED",
     "the cellar's journal is damaged: tell the administrator", kNever},
    {Error::kDefect, Code::kInternal, "DEFECT",
     "the server failed in a way that it should not: tell the administrator, the log says more",
     kNever},
};
static_assert(std::size(kErrors) == kErrorCount);

Error ErrorFor(absl::StatusCode code) {
  switch (code) {
    case Code::kUnavailable:
      return Error::kDatabaseAway;
    case Code::kDeadlineExceeded:
      return Error::kTooLate;
    case Code::kResourceExhausted:
      return Error::kDatabaseFull;
    case Code::kAborted:
      return Error::kCollision;
    case Code::kFailedPrecondition:
      return Error::kServerTooOld;
    case Code::kDataLoss:
      return Error::kJournalDamaged;
    default:
      return Error::kDefect;
  }
}

}  // namespace

const ErrorSpec& SpecOf(Error error) { return kErrors[static_cast<size_t>(error)]; }

absl::Status MakeError(Error error, absl::string_view detail, absl::Duration retry_delay) {
  const ErrorSpec& spec = SpecOf(error);
  if (retry_delay == kNever) retry_delay = spec.retry_delay;
  absl::Status status(spec.code, detail.empty() ? std::string(spec.text)
                                                : absl::StrCat(spec.text, " (", detail, ")"));
  v1::ErrorInfo info;
  info.set_reason(spec.reason.data(), spec.reason.size());
  info.set_domain("rundlet");
  status.SetPayload(kErrorInfoUrl, absl::Cord(info.SerializeAsString()));
  if (retry_delay > kNever) {
    v1::RetryInfo retry;
    const int64_t delay_ns = absl::ToInt64Nanoseconds(retry_delay);
    retry.mutable_retry_delay()->set_seconds(delay_ns / 1'000'000'000);
    retry.mutable_retry_delay()->set_nanos(static_cast<int32_t>(delay_ns % 1'000'000'000));
    status.SetPayload(kRetryInfoUrl, absl::Cord(retry.SerializeAsString()));
  }
  return status;
}

std::string ReasonOf(const absl::Status& status) {
  const absl::optional<absl::Cord> payload = status.GetPayload(kErrorInfoUrl);
  v1::ErrorInfo info;
  if (!payload.has_value() || !info.ParseFromString(std::string(*payload))) return "";
  return info.reason();
}

absl::Status ForCaller(const absl::Status& status) {
  if (status.ok() || !ReasonOf(status).empty()) return status;
  return MakeError(ErrorFor(status.code()));
}

grpc::Status ToGrpcStatus(const absl::Status& status) {
  if (status.ok()) return grpc::Status::OK;
  v1::StatusDetails details;
  details.set_code(static_cast<int>(status.code()));
  details.set_message(std::string(status.message()));
  status.ForEachPayload([&](absl::string_view url, const absl::Cord& value) {
    google::protobuf::Any* any = details.add_details();
    any->set_type_url(url.data(), url.size());
    any->set_value(std::string(value));
  });
  return {static_cast<grpc::StatusCode>(status.code()), std::string(status.message()),
          details.SerializeAsString()};
}

}  // namespace rundlet::server
