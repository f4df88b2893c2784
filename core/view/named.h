#ifndef RUNDLET_CORE_VIEW_NAMED_H_
#define RUNDLET_CORE_VIEW_NAMED_H_

#include "absl/functional/function_ref.h"
#include "core/fold/fold.h"

namespace rundlet {

// Calls `visit` with each thing that an entry names - vessels, bins, lots, packets, runs, gear,
// members -, known or not; with one that it names twice, twice.
void ForEachNamed(const Fold& fold, RowId row, absl::FunctionRef<void(Handle)> visit);

// The same with the things that are said to belong to another one: the material of a packet, the
// lot of a bottling, the bin that a bin lies in.
void ForEachNamed(const Fold& fold, const v1::Thing& thing, absl::FunctionRef<void(Handle)> visit);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_NAMED_H_
