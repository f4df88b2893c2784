#ifndef RUNDLET_CORE_LINEAGE_TRACE_H_
#define RUNDLET_CORE_LINEAGE_TRACE_H_

#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

// Walks the movements, which are the family tree of the wine.
//
// Back, from a vessel, a lot (all vessels that hold it and all its bottlings), a bottling: every delivery of juice, must or
// wine and every material (lot) that is in it, each with how much. Forward, from a material, a material lot, a vessel's
// present content, a lot: every vessel, bottling and bin that holds some of it now, and what left for elsewhere, each with how
// much. Amounts come from the shares and doses that parcels carry, so they are exact; the steps are the movements on the way,
// each once, nearest first.
//
// NotFound: nothing of the kind to trace (an empty vessel, a thing never used); the text says so.
absl::StatusOr<v1::Trace> MakeTrace(const Fold& fold, Handle subject, v1::TraceDirection direction);

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_TRACE_H_
