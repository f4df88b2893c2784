#ifndef RUNDLET_CLIENT_SYNC_SEALS_H_
#define RUNDLET_CLIENT_SYNC_SEALS_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "client/store/store.h"

namespace rundlet::client {

// Holds the journal to what its devices signed: every entry that came since the last check has to
// be covered by a signature of the device that it names, by the key that this device has said. So a
// server cannot put words into anybody's mouth, nor change a byte of what was said.
//
// Nothing of the device's own book depends on it: what does not hold is said in `alarms`, and again
// at every sync until it does. Errors are those of Store.
//
// `complete`: all of the journal was fetched, so that its end has to be signed as well. What holds
// may bring this device its next key (device_key.h).
absl::Status CheckSeals(Store& store, bool complete, std::vector<std::string>& alarms);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_SEALS_H_
