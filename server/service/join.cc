#include "server/service/join.h"

#include <optional>

#include "server/errors.h"
#include "server/service/members.h"
#include "server/service/token.h"
#include "server/store/invitation_store.h"
#include "server/store/journal_store.h"

namespace rundlet::server {
namespace {

// Whether the invitation is good for this device: for its first coming, or for its asking again.
absl::Status CheckOpen(const InvitationRow& invitation, const absl::StatusOr<Device>& there,
                       const evidence::Enrolment& enrolment, absl::Time now) {
  const bool again = there.ok() && invitation.used_by == enrolment.device_id &&
                     there->public_key == enrolment.device_key &&
                     there->invitation_key == enrolment.invitation_key;
  if (invitation.used_at.has_value() && !again) return MakeError(Error::kInvitationUsed);
  if (again && there->revoked_at.has_value()) return MakeError(Error::kDeviceRevoked);
  if (invitation.revoked_at.has_value()) return MakeError(Error::kInvitationRevoked);
  if (now >= invitation.expires_at) return MakeError(Error::kInvitationExpired);
  return there.ok() && !again ? MakeError(Error::kDeviceExists) : absl::OkStatus();
}

struct Found {
  InvitationRow invitation;
  std::optional<Device> device;  // nothing: it comes for the first time
};

// The invitation and the device, if the one lets the other in.
absl::StatusOr<Found> FindOpen(CellarTransaction& transaction, const evidence::Enrolment& enrolment,
                               absl::Time now) {
  const auto invitation = InvitationStore(transaction).Find(enrolment.invitation_key);
  if (absl::IsNotFound(invitation.status())) return MakeError(Error::kInvitationRefused);
  if (!invitation.ok()) return invitation.status();
  const absl::StatusOr<Device> there = DeviceStore(transaction).Find(enrolment.device_id);
  if (!there.ok() && !absl::IsNotFound(there.status())) return there.status();
  const absl::Status status = CheckOpen(*invitation, there, enrolment, now);
  if (!status.ok()) return status;
  Found found{.invitation = *invitation};
  if (there.ok()) found.device = *there;
  return found;
}

// The same, with the cellar's members held so that no other call changes them meanwhile.
absl::StatusOr<Found> FindLocked(CellarTransaction& transaction,
                                 const evidence::Enrolment& enrolment, absl::Time now) {
  // Once without the lock: neither strangers nor who has an invitation that is not good any more
  // hold anybody up.
  const absl::StatusOr<Found> before = FindOpen(transaction, enrolment, now);
  if (!before.ok()) return before.status();
  const absl::StatusOr<uint64_t> head = JournalStore(transaction).LockHead();
  if (!head.ok()) return head.status();
  return FindOpen(transaction, enrolment, now);
}

// Who the device's owner is. The first master of a cellar may bring a book of their own.
absl::StatusOr<Uuid> MemberOf(CellarTransaction& transaction, const v1::JoinRequest& request,
                              const InvitationRow& invitation) {
  if (request.member_id().empty() || invitation.role != MemberRole::kMaster)
    return invitation.member_id;
  const auto counts = DeviceStore(transaction).Count();
  if (!counts.ok()) return counts.status();
  return counts->all == 0 ? *Uuid::FromBytes(request.member_id()) : invitation.member_id;
}

absl::Status MakeDevice(CellarTransaction& transaction, const v1::JoinRequest& request,
                        const evidence::Enrolment& enrolment, const InvitationRow& invitation,
                        const Hash& token_sha256, absl::Time now) {
  const absl::StatusOr<Uuid> member_id = MemberOf(transaction, request, invitation);
  if (!member_id.ok()) return member_id.status();
  const absl::Status made = DeviceStore(transaction)
                                .MakeDevice({.cellar_id = enrolment.cellar_id,
                                             .device_id = enrolment.device_id,
                                             .device_name = request.device_name(),
                                             .member_id = *member_id,
                                             .member_name = invitation.member_name,
                                             .role = invitation.role,
                                             .token_sha256 = token_sha256,
                                             .public_key = enrolment.device_key,
                                             .invitation_key = enrolment.invitation_key},
                                            now);
  if (!made.ok()) return made;
  return InvitationStore(transaction).MarkUsed(invitation.key, enrolment.device_id, now);
}

}  // namespace

absl::StatusOr<evidence::Enrolment> CheckJoin(const v1::JoinRequest& request) {
  const auto cellar_id = Uuid::FromBytes(request.cellar_id());
  const auto device_id = Uuid::FromBytes(request.device_id());
  const auto member_id = Uuid::FromBytes(request.member_id());
  if (!cellar_id.ok() || !device_id.ok() || device_id->is_nil() ||
      (!request.member_id().empty() && (!member_id.ok() || member_id->is_nil())))
    return MakeError(Error::kBadJoin, "an id is 16 bytes, not all of them zero");
  const auto device_key = evidence::PublicKey::FromBytes(request.public_key());
  const auto invitation_key = evidence::PublicKey::FromBytes(request.invitation_key());
  if (!device_key.ok() || !invitation_key.ok())
    return MakeError(Error::kBadJoin, "a key is the 32 bytes of Ed25519");
  if (const absl::Status name = CheckName(request.device_name()); !name.ok()) return name;
  const evidence::Enrolment enrolment{.cellar_id = *cellar_id,
                                      .device_id = *device_id,
                                      .device_key = *device_key,
                                      .invitation_key = *invitation_key};
  const std::string message = evidence::EnrolmentMessage(enrolment);
  if (!invitation_key->Verify(message, request.invitation_signature()))
    return MakeError(Error::kInvitationRefused);
  if (!device_key->Verify(message, request.device_signature()))
    return MakeError(Error::kBadJoin, "the device did not sign with the key that it names");
  return enrolment;
}

absl::Status LetIn(CellarTransaction& transaction, const v1::JoinRequest& request,
                   const evidence::Enrolment& enrolment, absl::Time now,
                   const std::function<void(absl::Span<uint8_t>)>& random,
                   v1::JoinResponse& response) {
  const absl::StatusOr<Found> found = FindLocked(transaction, enrolment, now);
  if (!found.ok()) return found.status();
  TokenSecret secret;
  random(absl::MakeSpan(secret));
  response.set_token(FormatToken({enrolment.cellar_id, enrolment.device_id}, secret));
  const Hash hash = HashToken(response.token());
  DeviceStore devices(transaction);
  absl::Status status = found->device.has_value() ? devices.SetToken(enrolment.device_id, hash)
                                                  : MakeDevice(transaction, request, enrolment,
                                                               found->invitation, hash, now);
  if (!status.ok()) return status;
  const absl::StatusOr<Device> device = devices.Find(enrolment.device_id);
  if (!device.ok()) return device.status();
  status = FillDevice(transaction, *device, *response.mutable_device());
  return status.ok() ? transaction.Commit() : status;
}

}  // namespace rundlet::server
