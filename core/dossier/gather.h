#ifndef RUNDLET_CORE_DOSSIER_GATHER_H_
#define RUNDLET_CORE_DOSSIER_GATHER_H_

#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "core/fold/fold.h"

namespace rundlet::dossier {

// Reads an entry by its row.
using EntryOf = absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)>;

// The entries that a stranger needs to follow a lot and to check who says so, in the order of rows:
//
// - what the wine of the lot and its bottles came by, back to every source, through blends from
//   other lots as well, and what was seen and done to it on the way;
// - where its bottles and its wine went;
// - what has no effect, being void or held, and names a vessel while that held the wine;
// - what voids or amends any of these, and what they void or amend;
// - what is said of every thing that they name: registrations, changes, retiring;
// - settings;
// - of every device that wrote one of these: the keys that it said, the invitation by which it came
//   in, and so on up to whoever came in first.
//
// Errors are those of `entry_of`.
absl::StatusOr<std::vector<RowId>> GatherRows(const Fold& fold, Handle lot, EntryOf entry_of);

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_GATHER_H_
