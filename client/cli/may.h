#ifndef RUNDLET_CLIENT_CLI_MAY_H_
#define RUNDLET_CLIENT_CLI_MAY_H_

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "client/cellar/cellar.h"
#include "core/rights/rights.h"

namespace rundlet::client {

// Asks the table of rights (core/rights) before something is written or asked of the server, so
// that nobody finds out at the next sync what they may not do. The server asks the same table.

// PermissionDenied if the device's member may not write one of these entries. A void or an
// amendment needs what its target needs.
absl::Status CheckMayWrite(Cellar& cellar, absl::Span<const v1::Entry> entries);

// PermissionDenied if they may not make this call.
absl::Status CheckMayCall(const Device& device, absl::string_view method);

// PermissionDenied for a lesser role. `what` is a sentence's beginning: "a difference is accepted".
absl::Status CheckRole(const Device& device, MemberRole needed, absl::string_view what);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_MAY_H_
