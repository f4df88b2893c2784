#ifndef RUNDLET_SERVER_SERVICE_JOIN_H_
#define RUNDLET_SERVER_SERVICE_JOIN_H_

#include <cstdint>
#include <functional>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "core/evidence/enrolment.h"
#include "rundlet/v1/join_service.pb.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// Letting a device in by an invitation. Who cannot show that they have the invitation's secret gets
// one answer, INVITATION_REFUSED, whether the cellar, the invitation or neither is there; who can
// is told what is wrong with it.

// A request that can be meant, and whose signatures are those of the two keys that it names.
// BAD_JOIN, BAD_NAME; INVITATION_REFUSED: not signed with the invitation's key.
absl::StatusOr<evidence::Enrolment> CheckJoin(const v1::JoinRequest& request);

// Makes the device, or gives it another token where it asks again, in a transaction on the cellar
// that the request names; commits. INVITATION_REFUSED, _USED, _EXPIRED, _REVOKED; DEVICE_EXISTS;
// DEVICE_REVOKED: it came in by this invitation, and was put out.
absl::Status LetIn(CellarTransaction& transaction, const v1::JoinRequest& request,
                   const evidence::Enrolment& enrolment, absl::Time now,
                   const std::function<void(absl::Span<uint8_t>)>& random,
                   v1::JoinResponse& response);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_JOIN_H_
