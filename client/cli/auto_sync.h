#ifndef RUNDLET_CLIENT_CLI_AUTO_SYNC_H_
#define RUNDLET_CLIENT_CLI_AUTO_SYNC_H_

#include "client/cli/session.h"
#include "client/store/store_home.h"

namespace rundlet::client {

// After something was saved: lets a sync run for a moment, in silence, and goes on whatever comes
// of it. Not within a minute of one that failed, and not where RUNDLET_AUTOSYNC is "off".
void AutoSync(Session& session, const StoreHome& home);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_AUTO_SYNC_H_
