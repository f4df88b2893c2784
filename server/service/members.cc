#include "server/service/members.h"

#include <algorithm>
#include <utility>

#include "absl/strings/ascii.h"
#include "core/entry/limits.h"
#include "server/errors.h"
#include "server/service/authenticator.h"
#include "server/store/invitation_store.h"
#include "server/store/journal_store.h"

namespace rundlet::server {
namespace {

constexpr int kMaxInvitationLines = 1000;
constexpr MemberRole kMaster = MemberRole::kMaster;

bool IsId(const std::string& bytes) {
  const absl::StatusOr<Uuid> id = Uuid::FromBytes(bytes);
  return id.ok() && !id->is_nil();
}

absl::Status CheckId(const std::string& bytes) {
  return IsId(bytes) ? absl::OkStatus() : MakeError(Error::kBadId);
}

absl::Status CheckKey(const std::string& bytes) {
  return evidence::PublicKey::FromBytes(bytes).ok() ? absl::OkStatus() : MakeError(Error::kBadKey);
}

absl::Status CheckRole(v1::MemberRole role) {
  return RoleFrom(role).ok() ? absl::OkStatus() : MakeError(Error::kBadRole);
}

// Begins what changes devices: waits for its turn, sees whether the caller may still do it by then,
// and counts the masters before.
absl::StatusOr<int> LockMembers(const QueryContext& context, MemberRole needed) {
  const absl::StatusOr<uint64_t> head = JournalStore(context.transaction).LockHead();
  if (!head.ok()) return head.status();
  DeviceStore devices(context.transaction);
  const auto self = devices.Find(context.device.device_id);
  if (!self.ok()) return self.status();
  if (self->revoked_at.has_value()) return MakeError(Error::kDeviceRevoked);
  if (!MayDo(self->role, needed)) return MakeError(Error::kNotAllowed);
  const auto counts = devices.Count();
  if (!counts.ok()) return counts.status();
  return counts->masters;
}

// Ends it: the last good device of a master is not taken away. What this server believed of the
// cellar's tokens until now, it looks up anew.
absl::Status CommitMembers(const QueryContext& context, int masters_before) {
  const auto counts = DeviceStore(context.transaction).Count();
  if (!counts.ok()) return counts.status();
  if (masters_before > 0 && counts->masters == 0) return MakeError(Error::kLastMaster);
  const absl::Status committed = context.transaction.Commit();
  context.authenticator.Forget(context.device.cellar_id);
  return committed;
}

bool SameInvitation(const InvitationRow& a, const InvitationRow& b) {
  return a.member_id == b.member_id && a.member_name == b.member_name && a.role == b.role &&
         a.made_by == b.made_by && a.expires_at == b.expires_at;
}

void Fill(const InvitationRow& row, absl::Time now, v1::InvitationLine& line) {
  line.set_invitation_key(std::string(row.key.bytes()));
  line.set_member_id(row.member_id.ToBytes());
  line.set_member_name(row.member_name);
  line.set_role(ToProto(row.role));
  line.set_created_at_us(absl::ToUnixMicros(row.created_at));
  line.set_expires_at_us(absl::ToUnixMicros(row.expires_at));
  line.set_state(row.StateAt(now));
  if (row.made_by.has_value()) line.set_made_by_device_id(row.made_by->ToBytes());
  if (row.used_by.has_value()) line.set_used_by_device_id(row.used_by->ToBytes());
}

void Fill(const Device& device, uint64_t last_device_seq, v1::DeviceLine& line) {
  line.set_device_id(device.device_id.ToBytes());
  line.set_device_name(device.device_name);
  line.set_member_id(device.member_id.ToBytes());
  line.set_member_name(device.member_name);
  line.set_role(ToProto(device.role));
  line.set_created_at_us(absl::ToUnixMicros(device.created_at));
  line.set_last_device_seq(last_device_seq);
  if (device.public_key.has_value()) line.set_public_key(std::string(device.public_key->bytes()));
  if (device.invitation_key.has_value())
    line.set_invitation_key(std::string(device.invitation_key->bytes()));
  if (device.revoked_at.has_value()) line.set_revoked_at_us(absl::ToUnixMicros(*device.revoked_at));
}

}  // namespace

absl::Status CheckName(absl::string_view name) {
  const bool good = !name.empty() && name.size() <= kMaxNameBytes &&
                    std::none_of(name.begin(), name.end(),
                                 [](unsigned char c) { return absl::ascii_iscntrl(c); });
  return good ? absl::OkStatus() : MakeError(Error::kBadName);
}

absl::Status Validate(const v1::ListDevicesRequest&) { return absl::OkStatus(); }
absl::Status Validate(const v1::ListInvitationsRequest&) { return absl::OkStatus(); }
absl::Status Validate(const v1::RevokeDeviceRequest& request) {
  return CheckId(request.device_id());
}
absl::Status Validate(const v1::RevokeInvitationRequest& request) {
  return CheckKey(request.invitation_key());
}
absl::Status Validate(const v1::RemoveMemberRequest& request) {
  return CheckId(request.member_id());
}

absl::Status Validate(const v1::SetMemberRoleRequest& request) {
  absl::Status valid = CheckId(request.member_id());
  if (valid.ok()) valid = CheckRole(request.role());
  return valid;
}

absl::Status Validate(const v1::CreateInvitationRequest& request) {
  absl::Status valid = CheckKey(request.invitation_key());
  if (valid.ok()) valid = CheckId(request.member_id());
  if (valid.ok()) valid = CheckName(request.member_name());
  if (valid.ok()) valid = CheckRole(request.role());
  return valid;
}

absl::Status Answer(const QueryContext& context, const v1::ListDevicesRequest&,
                    v1::ListDevicesResponse& response) {
  const auto devices = DeviceStore(context.transaction).List();
  if (!devices.ok()) return devices.status();
  for (const Device& device : *devices) {
    const auto last = JournalStore(context.transaction).LastDeviceSeq(device.device_id);
    if (!last.ok()) return last.status();
    Fill(device, *last, *response.add_devices());
  }
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::RevokeDeviceRequest& request,
                    v1::RevokeDeviceResponse&) {
  const absl::StatusOr<Uuid> device_id = Uuid::FromBytes(request.device_id());
  if (!device_id.ok()) return device_id.status();
  // Before it is looked up: whether it exists is no business of who may not revoke it.
  const MemberRole needed =
      *device_id == context.device.device_id ? MemberRole::kGuest : MemberRole::kMaster;
  if (!MayDo(context.device.role, needed)) return MakeError(Error::kNotAllowed);
  const absl::StatusOr<int> masters = LockMembers(context, needed);
  if (!masters.ok()) return masters.status();
  const absl::Status revoked = DeviceStore(context.transaction).Revoke(*device_id, context.now);
  if (absl::IsNotFound(revoked)) return MakeError(Error::kUnknownDevice);
  if (!revoked.ok()) return revoked;
  const auto void_now =
      InvitationStore(context.transaction).RevokeMadeByDevice(*device_id, context.now);
  if (!void_now.ok()) return void_now.status();
  return CommitMembers(context, *masters);
}

absl::Status Answer(const QueryContext& context, const v1::CreateInvitationRequest& request,
                    v1::CreateInvitationResponse&) {
  const auto key = evidence::PublicKey::FromBytes(request.invitation_key());
  const auto member_id = Uuid::FromBytes(request.member_id());
  const auto role = RoleFrom(request.role());
  if (!key.ok() || !member_id.ok() || !role.ok()) return MakeError(Error::kBadKey);
  const InvitationRow made{.key = *key,
                           .member_id = *member_id,
                           .member_name = request.member_name(),
                           .role = *role,
                           .made_by = context.device.device_id,
                           .created_at = context.now,
                           .expires_at = absl::FromUnixMicros(request.expires_at_us())};
  if (made.expires_at <= context.now || made.expires_at > context.now + kLongestInvitation)
    return MakeError(Error::kBadExpiry);
  // Under the lock: a master who is removed at this moment leaves no invitation behind.
  const absl::StatusOr<int> masters = LockMembers(context, kMaster);
  if (!masters.ok()) return masters.status();
  InvitationStore invitations(context.transaction);
  const auto there = invitations.Find(*key);
  if (there.ok())
    return SameInvitation(*there, made) ? absl::OkStatus() : MakeError(Error::kInvitationExists);
  if (!absl::IsNotFound(there.status())) return there.status();
  const absl::Status status = invitations.Make(made);
  return status.ok() ? context.transaction.Commit() : status;
}

absl::Status Answer(const QueryContext& context, const v1::ListInvitationsRequest&,
                    v1::ListInvitationsResponse& response) {
  const auto invitations = InvitationStore(context.transaction).List(kMaxInvitationLines);
  if (!invitations.ok()) return invitations.status();
  for (const InvitationRow& row : *invitations) Fill(row, context.now, *response.add_invitations());
  return absl::OkStatus();
}

absl::Status Answer(const QueryContext& context, const v1::RevokeInvitationRequest& request,
                    v1::RevokeInvitationResponse&) {
  const auto key = evidence::PublicKey::FromBytes(request.invitation_key());
  if (!key.ok()) return MakeError(Error::kBadKey);
  const absl::StatusOr<int> masters = LockMembers(context, kMaster);
  if (!masters.ok()) return masters.status();
  InvitationStore invitations(context.transaction);
  const auto there = invitations.Find(*key);
  if (absl::IsNotFound(there.status())) return MakeError(Error::kUnknownInvitation);
  if (!there.ok()) return there.status();
  if (there->used_at.has_value())
    return MakeError(Error::kInvitationUsed, "revoke the device that came in by it");
  const absl::Status status = invitations.Revoke(*key, context.now);
  return status.ok() ? context.transaction.Commit() : status;
}

absl::Status Answer(const QueryContext& context, const v1::SetMemberRoleRequest& request,
                    v1::SetMemberRoleResponse&) {
  const auto member_id = Uuid::FromBytes(request.member_id());
  const auto role = RoleFrom(request.role());
  if (!member_id.ok() || !role.ok()) return MakeError(Error::kBadRole);
  const absl::StatusOr<int> masters = LockMembers(context, kMaster);
  if (!masters.ok()) return masters.status();
  const auto changed = DeviceStore(context.transaction).SetRole(*member_id, *role);
  if (!changed.ok()) return changed.status();
  if (*changed == 0) return MakeError(Error::kUnknownMember);
  if (*role != MemberRole::kMaster) {
    InvitationStore invitations(context.transaction);
    auto void_now = invitations.RevokeMadeByMember(*member_id, context.now);
    // Those for them may say more than what they are allowed from now on.
    if (void_now.ok()) void_now = invitations.RevokeFor(*member_id, context.now);
    if (!void_now.ok()) return void_now.status();
  }
  return CommitMembers(context, *masters);
}

absl::Status Answer(const QueryContext& context, const v1::RemoveMemberRequest& request,
                    v1::RemoveMemberResponse& response) {
  const auto member_id = Uuid::FromBytes(request.member_id());
  if (!member_id.ok()) return MakeError(Error::kBadId);
  const absl::StatusOr<int> masters = LockMembers(context, kMaster);
  if (!masters.ok()) return masters.status();
  const auto devices = DeviceStore(context.transaction).RevokeAllOf(*member_id, context.now);
  if (!devices.ok()) return devices.status();
  InvitationStore invitations(context.transaction);
  const auto open = invitations.RevokeFor(*member_id, context.now);
  if (!open.ok()) return open.status();
  if (*devices + *open == 0) return MakeError(Error::kUnknownMember);
  const auto made = invitations.RevokeMadeByMember(*member_id, context.now);
  if (!made.ok()) return made.status();
  response.set_devices(*devices);
  response.set_invitations(*open + *made);
  return CommitMembers(context, *masters);
}

}  // namespace rundlet::server
