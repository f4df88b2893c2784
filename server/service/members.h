#ifndef RUNDLET_SERVER_SERVICE_MEMBERS_H_
#define RUNDLET_SERVER_SERVICE_MEMBERS_H_

#include "absl/status/status.h"
#include "server/service/queries.h"

namespace rundlet::server {

// The calls about who is in a cellar and who may come in: as those of queries.h, but most of them
// change something. They hold the cellar's head row while they do, so that two of them never undo
// between them what each alone would have kept, such as the last master.
//
// Whoever made an invitation answers for it: when they, or the device that made it, may not invite
// any more, those that are open are void.

absl::Status Validate(const v1::ListDevicesRequest& request);
absl::Status Validate(const v1::RevokeDeviceRequest& request);
absl::Status Validate(const v1::CreateInvitationRequest& request);
absl::Status Validate(const v1::ListInvitationsRequest& request);
absl::Status Validate(const v1::RevokeInvitationRequest& request);
absl::Status Validate(const v1::SetMemberRoleRequest& request);
absl::Status Validate(const v1::RemoveMemberRequest& request);

absl::Status Answer(const QueryContext& context, const v1::ListDevicesRequest& request,
                    v1::ListDevicesResponse& response);
absl::Status Answer(const QueryContext& context, const v1::RevokeDeviceRequest& request,
                    v1::RevokeDeviceResponse& response);
// The same call twice is as good as once.
absl::Status Answer(const QueryContext& context, const v1::CreateInvitationRequest& request,
                    v1::CreateInvitationResponse& response);
absl::Status Answer(const QueryContext& context, const v1::ListInvitationsRequest& request,
                    v1::ListInvitationsResponse& response);
absl::Status Answer(const QueryContext& context, const v1::RevokeInvitationRequest& request,
                    v1::RevokeInvitationResponse& response);
absl::Status Answer(const QueryContext& context, const v1::SetMemberRoleRequest& request,
                    v1::SetMemberRoleResponse& response);
absl::Status Answer(const QueryContext& context, const v1::RemoveMemberRequest& request,
                    v1::RemoveMemberResponse& response);

// OK for what may be the name of a person or a device; else BAD_NAME.
absl::Status CheckName(absl::string_view name);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_MEMBERS_H_
