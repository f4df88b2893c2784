#ifndef RUNDLET_CORE_LINEAGE_WALK_H_
#define RUNDLET_CORE_LINEAGE_WALK_H_

#include <vector>

#include "absl/container/flat_hash_set.h"
#include "absl/types/span.h"
#include "core/fold/state.h"

namespace rundlet {

// What reached a parcel after something was drawn from it is not carried along, and what was drawn
// from it before something was added is not either.
//
// Parcels are numbered in the order in which they arose, so what flows into one has a smaller
// number than it. A walk takes parcels by their numbers, each once, and finds their movements by
// the links that the state keeps. Cost: the parcels and movements that are reached, and four bytes
// for each parcel of the cellar.

// A packet that was put into an empty vessel waits there without wine: no movement leads from there
// on, but the parcel that the wine then made names the one before it.

// Indexes of the movements that what is in `parcels` came by, latest first. Movements of a vessel's
// content into its own next parcel are followed, but left out.
std::vector<size_t> WalkBack(const State& state, absl::Span<const ParcelId> parcels);

struct Walk {
  std::vector<ParcelId> reached;  // in the order of their numbers
  std::vector<size_t> movements;  // in fold order
};

// The same from `parcels`, and from wherever one of `materials` was added.
Walk WalkForward(const State& state, absl::Span<const ParcelId> parcels,
                 const absl::flat_hash_set<Commodity>& materials);

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_WALK_H_
