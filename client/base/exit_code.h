#ifndef RUNDLET_CLIENT_BASE_EXIT_CODE_H_
#define RUNDLET_CLIENT_BASE_EXIT_CODE_H_

namespace rundlet::client {

// What `rundlet` and `rundlet-sync` end with. Scripts rely on these numbers: they never change
// meaning.
enum ExitCode : int {
  kExitDone = 0,
  kExitError = 1,
  kExitUsage = 2,         // the words of the command cannot be understood
  kExitNotAllowed = 4,    // the server does not know the token, or the role may not do this
  kExitNotSynced = 5,     // what was entered is saved here; the server could not be reached
  kExitSyncedNotAll = 6,  // synced, and something is held or was returned
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_EXIT_CODE_H_
