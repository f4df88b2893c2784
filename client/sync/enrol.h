#ifndef RUNDLET_CLIENT_SYNC_ENROL_H_
#define RUNDLET_CLIENT_SYNC_ENROL_H_

#include "absl/status/statusor.h"
#include "client/base/environment.h"
#include "client/store/store.h"
#include "rundlet/v1/join_service.pb.h"

namespace rundlet::client {

// What this device asked its server with to be let in. NotFound: nothing, as where the server's
// keeper made it, or it is of no server.
absl::StatusOr<v1::JoinRequest> ReadJoinRequest(const StoreHome& home);
absl::Status WriteJoinRequest(const StoreHome& home, const v1::JoinRequest& request);

// The entry that brings a device's key into the journal, with who let it in where `request` says.
v1::Entry EnrolmentDraft(const v1::JoinRequest& request, const When& now);

// The entry that registers the device's member.
v1::Entry RegistrationDraft(const Device& device, const When& now);

// Writes what a device says of itself before anything else, as far as nobody has yet: its key, and
// who its member is. A guest's writes nothing until they are more. The journal has been pulled.
// True if it wrote something.
absl::StatusOr<bool> WriteFirstEntries(const StoreHome& home, const Environment& env);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_ENROL_H_
