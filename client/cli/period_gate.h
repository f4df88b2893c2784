#ifndef RUNDLET_CLIENT_CLI_PERIOD_GATE_H_
#define RUNDLET_CLIENT_CLI_PERIOD_GATE_H_

#include "absl/status/status.h"
#include "absl/types/span.h"
#include "client/cellar/cellar.h"
#include "core/closing/periods.h"

namespace rundlet::client {

// Refuses what the server would return, before it is saved: entries, complete with their times,
// that would change a closed period, or that void or amend a closing. FailedPrecondition says until
// when the book is closed and what to do instead.
absl::Status CheckPeriods(const Cellar& cellar, const closing::Periods& periods,
                          const v1::Entry& entry);

// The same for all entries of a change, by what is closed now.
absl::Status CheckPeriods(Cellar& cellar, absl::Span<const v1::Entry> entries);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_PERIOD_GATE_H_
