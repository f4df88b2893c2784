#ifndef RUNDLET_CORE_OENOLOGY_RANGE_H_
#define RUNDLET_CORE_OENOLOGY_RANGE_H_

#include <initializer_list>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::oenology {

// Refuses a number outside [low, high], and what is no number: OutOfRange that names the quantity
// and the range ("pH 35 is outside 2.5 to 4.5"), with a guess at what was meant where a slipped
// point explains it ("was 3.5 meant?").
absl::Status CheckRange(absl::string_view name, double value, double low, double high,
                        absl::string_view unit);

// The first that is not OK, else OK: for several ranges in one go.
absl::Status FirstError(std::initializer_list<absl::Status> all);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_RANGE_H_
