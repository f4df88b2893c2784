#ifndef RUNDLET_CORE_LINEAGE_CARRY_H_
#define RUNDLET_CORE_LINEAGE_CARRY_H_

#include <vector>

#include "absl/types/span.h"
#include "core/fold/state.h"

namespace rundlet {

// How much wine of some parcels is in another.
struct Carried {
  ParcelId parcel = kNone;
  int64_t arrived_ul = 0;  // in it, when it arose
  int64_t left_ul = 0;     // of that, what has not been drawn from it since
};

// Carries wine forward from `parcels`, all of which counts, to all parcels that `reached` names:
// the `reached` of WalkForward from the same parcels. In its order.
//
// One pass by the numbers of the parcels: each has all that comes to it when its turn comes, so no
// path is followed twice. Of each draw the part is the nearest whole microlitre, half a one stays,
// and the last draw takes all that is left: nothing is made or lost on the way. What parcels are
// made of is known exactly for deliveries alone (State::origins); this is for every other parcel.
std::vector<Carried> CarryForward(const State& state, absl::Span<const ParcelId> parcels,
                                  absl::Span<const ParcelId> reached);

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_CARRY_H_
