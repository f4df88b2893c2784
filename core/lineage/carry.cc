#include "core/lineage/carry.h"

#include <algorithm>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"

namespace rundlet {
namespace {

// The part of `amount` that goes with `drawn_ul` out of `volume_ul`.
int64_t PartOf(int64_t amount, int64_t drawn_ul, int64_t volume_ul) {
  if (drawn_ul >= volume_ul) return amount;
  const Quotient part = Scale(amount, drawn_ul, volume_ul);
  return part.whole + (part.remainder > volume_ul - part.remainder ? 1 : 0);
}

}  // namespace

std::vector<Carried> CarryForward(const State& state, absl::Span<const ParcelId> parcels,
                                  absl::Span<const ParcelId> reached) {
  const absl::flat_hash_set<ParcelId> starts(parcels.begin(), parcels.end());
  absl::flat_hash_map<ParcelId, int64_t> arrived;
  std::vector<Carried> carried;
  carried.reserve(reached.size());
  std::vector<uint32_t> draws;  // of one parcel, from the first on
  for (const ParcelId id : reached) {
    const Parcel& parcel = state.parcels()[id];
    Carried one{.parcel = id, .arrived_ul = starts.contains(id) ? parcel.volume_ul : arrived[id]};
    one.left_ul = one.arrived_ul;
    draws.clear();
    for (uint32_t i = parcel.last_from; i != kNone; i = state.movements()[i].earlier_from)
      draws.push_back(i);
    std::reverse(draws.begin(), draws.end());
    int64_t volume_ul = parcel.volume_ul;
    for (const uint32_t i : draws) {
      const Movement& m = state.movements()[i];
      const int64_t part = PartOf(one.left_ul, m.amount, volume_ul);
      one.left_ul -= part;
      volume_ul -= m.amount;
      if (m.to_parcel != kNone) arrived[m.to_parcel] += part;
    }
    carried.push_back(one);
  }
  return carried;
}

}  // namespace rundlet
