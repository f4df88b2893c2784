#ifndef RUNDLET_CLIENT_SYNC_JOIN_H_
#define RUNDLET_CLIENT_SYNC_JOIN_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "client/base/environment.h"
#include "client/store/store.h"
#include "client/sync/connection.h"
#include "core/identity/invitation.h"

namespace rundlet::client {

struct JoinWords {
  Invitation invitation;
  std::string device_name;
};

// This device becomes one of the invitation's cellar: a new book, or the one that is here, whose
// unsynced entries are written anew for it (rewrite_outbox.h). The server is known before anything
// is sent to it. What is asked with is on disk before it is asked: killed at any point, or where
// the answer was lost, the same invitation on the same device goes on from there.
//
// Whoever calls holds the sync's lock. FailedPrecondition: the server is another one than the
// invitation says, or the book here cannot become one of this cellar; nothing changed.
// PermissionDenied: the server does not take the invitation. All texts say what to do.
absl::StatusOr<Connection> JoinCellar(const StoreHome& home, const JoinWords& words,
                                      const Environment& env, absl::Time deadline);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_JOIN_H_
