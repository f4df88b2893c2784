#ifndef RUNDLET_CORE_LINEAGE_TRACE_PARTS_H_
#define RUNDLET_CORE_LINEAGE_TRACE_PARTS_H_

#include <string>
#include <vector>

#include "core/lineage/trace.h"

namespace rundlet {

// The two directions of MakeTrace, which says what they give, and what both need.
absl::StatusOr<v1::Trace> TraceBack(const Fold& fold, Handle subject, ReadEntry read,
                                    const TraceOptions& options);
absl::StatusOr<v1::Trace> TraceForward(const Fold& fold, Handle subject,
                                       const TraceOptions& options);

// Movements, by their numbers, as steps of a trace.
void AddSteps(const Fold& fold, const std::vector<size_t>& movements, v1::Trace& trace);

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_TRACE_PARTS_H_
