#ifndef RUNDLET_CLIENT_BASE_SYNC_CALL_H_
#define RUNDLET_CLIENT_BASE_SYNC_CALL_H_

#include <string>

#include "absl/time/time.h"

namespace rundlet::client {

// How rundlet-sync is to be run.
struct SyncCall {
  std::string home;    // the store's directory
  bool quiet = false;  // says nothing, and gives up at once where another sync is running
  bool json = false;
  bool repair = false;  // fetches the whole journal again, to mend damaged entries
  absl::Duration budget = absl::InfiniteDuration();  // the most that it may take
  // For joining: the server, and the token that this device was given. Empty otherwise.
  std::string join_server;
  std::string join_token;
};

struct SyncReport {
  bool finished = false;  // false: it was still running when the budget was over
  int exit_code = 0;
  std::string out;  // what it printed as its result
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_SYNC_CALL_H_
