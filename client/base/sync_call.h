#ifndef RUNDLET_CLIENT_BASE_SYNC_CALL_H_
#define RUNDLET_CLIENT_BASE_SYNC_CALL_H_

#include <string>
#include <vector>

#include "absl/time/time.h"

namespace rundlet::client {

// How rundlet-sync is to be run.
struct SyncCall {
  std::string home;    // the store's directory
  bool quiet = false;  // says nothing, and gives up at once where another sync is running
  bool json = false;
  bool repair = false;  // fetches the whole journal again, to mend damaged entries
  absl::Duration budget = absl::InfiniteDuration();  // the most that it may take
  // For something else than a sync: further words. What is secret goes in by standard input, as the
  // words of a running program can be read by everybody on the machine. At most 32 KiB.
  std::vector<std::string> words;
  std::string input;
};

struct SyncReport {
  bool finished = false;  // false: it was still running when the budget was over
  int exit_code = 0;
  std::string out;  // what it printed as its result
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_SYNC_CALL_H_
