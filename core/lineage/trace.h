#ifndef RUNDLET_CORE_LINEAGE_TRACE_H_
#define RUNDLET_CORE_LINEAGE_TRACE_H_

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

// Walks the movements, which are the family tree of the wine.
//
// Back, from a vessel, a lot (all vessels that hold it and all its bottlings), a bottling: every
// delivery of juice, must or wine and every material (lot) that is in it, each with how much. Water
// and the like, which is volume and material at once, is there once.
// Forward, from a material, a material lot, a lot: every vessel, bottling and bin that holds some
// of it now, and what left for elsewhere, each with how much. From a vessel, wherever anything went
// that arose in it. Amounts come from the shares and doses that parcels carry, so they are exact;
// from a vessel they are carried from parcel to parcel (carry.h). The steps are the movements on
// the way, each once, nearest first; making them costs more than all the rest.
//
// `read` gives an entry by its id, for what the fold does not keep: who delivered a juice.
//
// FailedPrecondition: there is nothing to trace (an empty vessel, a packet never used); the text
// says so. InvalidArgument: the thing cannot be traced in that direction.
struct TraceOptions {
  bool steps = true;
};
using ReadEntry = absl::FunctionRef<absl::StatusOr<v1::Entry>(const Uuid& entry_id)>;
absl::StatusOr<v1::Trace> MakeTrace(const Fold& fold, Handle subject, v1::TraceDirection direction,
                                    ReadEntry read, const TraceOptions& options = {});

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_TRACE_H_
