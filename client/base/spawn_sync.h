#ifndef RUNDLET_CLIENT_BASE_SPAWN_SYNC_H_
#define RUNDLET_CLIENT_BASE_SPAWN_SYNC_H_

#include <string>

#include "absl/status/statusor.h"
#include "client/base/sync_call.h"

namespace rundlet::client {

// Runs rundlet-sync as a process of its own, so that this one never pays for the network library.
// It is looked for beside this program, then in ../libexec/rundlet/ from there. What it prints as
// its result is read; its messages go where ours go, unless it is to be quiet.
//
// A call with a budget is waited for no longer than that; the process then goes on by itself and
// ends soon after, and the report says so. NotFound when there is no such program.
absl::StatusOr<SyncReport> SpawnSync(const SyncCall& call);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_SPAWN_SYNC_H_
