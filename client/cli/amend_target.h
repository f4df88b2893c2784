#ifndef RUNDLET_CLIENT_CLI_AMEND_TARGET_H_
#define RUNDLET_CLIENT_CLI_AMEND_TARGET_H_

#include <cstdint>
#include <optional>

#include "absl/status/statusor.h"
#include "client/cli/change.h"

namespace rundlet::client {

// The entry in whose place another is to stand.
struct AmendTarget {
  Uuid id;
  v1::Amendment amendment;  // as the new entry carries it
  When when;                // that of the old one
  std::string note;         // that of the old one
};

// Finds it. FailedPrecondition where it counts no longer, or where amending is not the way.
absl::StatusOr<AmendTarget> FindAmendTarget(Cellar& cellar, const AmendWords& words);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_AMEND_TARGET_H_
