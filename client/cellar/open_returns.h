#ifndef RUNDLET_CLIENT_CELLAR_OPEN_RETURNS_H_
#define RUNDLET_CLIENT_CELLAR_OPEN_RETURNS_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// The returned entries that still wait for a person: those that no later entry amends
// or voids, and that nobody has dropped.
absl::StatusOr<std::vector<StoredEntry>> OpenReturns(Cellar& cellar);

// Why the server returned an entry, in a sentence without a full stop, and what may lie behind it.
std::string WhyReturned(const StoredEntry& stored);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_OPEN_RETURNS_H_
