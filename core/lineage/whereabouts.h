#ifndef RUNDLET_CORE_LINEAGE_WHEREABOUTS_H_
#define RUNDLET_CORE_LINEAGE_WHEREABOUTS_H_

#include <vector>

#include "absl/container/flat_hash_set.h"
#include "core/fold/fold.h"
#include "core/lineage/walk.h"

namespace rundlet {

// What is followed through the cellar: either wine of some deliveries, or materials of one
// dimension, or whatever is in some parcels.
struct Followed {
  absl::flat_hash_set<ParcelId> deliveries;
  absl::flat_hash_set<Commodity> materials;
  std::vector<ParcelId> parcels;

  // How much of it is in what holds these shares. Not for parcels.
  int64_t In(absl::Span<const Share> origins, absl::Span<const Share> doses) const;
};

// All deliveries of a lot; all packets of a material, or a packet itself, in every dimension; all
// that arose in a vessel. Nothing for other things.
Followed FollowThing(const Fold& fold, Handle thing);

// `followed` without the materials of other dimensions: weights and counts are not added up.
Followed OfDimension(const Fold& fold, const Followed& followed, v1::Dimension dimension);

// Where what is followed is now. Amounts are exact for deliveries and materials, which every
// quantity of wine knows its content of; for parcels they are carried (carry.h).
struct Whereabouts {
  struct InVessel {
    Handle vessel = kNoHandle;
    int64_t volume_ul = 0;  // of all that the vessel holds
    int64_t amount = 0;     // of what is followed in it
  };
  // Wine that was filled into glass at one session, wherever those bottles are.
  struct InGlass {
    Handle bottling = kNoHandle;
    ParcelId session = kNone;
    int64_t filled_ul = 0;      // when it was filled ...
    int64_t filled_amount = 0;  // ... and what was in that
    int64_t amount = 0;         // of it, without what was emptied back into vessels
    int64_t packaging = 0;      // on the bottles: closures and the like
  };
  std::vector<InVessel> vessels;  // by when what they hold arose
  std::vector<InGlass> sessions;  // in the order of filling
  int64_t entered = 0;            // how much ever went into wine; 0 for parcels
  int64_t found = 0;              // in the vessels and sessions above
};
Whereabouts FindWhereabouts(const Fold& fold, const Followed& followed, const Walk& walk);

// The walk that FindWhereabouts wants.
Walk WalkOf(const Fold& fold, const Followed& followed);

}  // namespace rundlet

#endif  // RUNDLET_CORE_LINEAGE_WHEREABOUTS_H_
