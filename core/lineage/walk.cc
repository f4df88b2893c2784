#include "core/lineage/walk.h"

namespace rundlet {
namespace {

bool StaysInVessel(const Movement& m) { return m.from == m.to; }

}  // namespace

std::vector<size_t> WalkBack(const State& state, absl::Span<const ParcelId> parcels) {
  absl::flat_hash_set<ParcelId> reached(parcels.begin(), parcels.end());
  std::vector<size_t> movements;
  for (size_t i = state.movements().size(); i-- > 0;) {
    const Movement& m = state.movements()[i];
    if (m.to_parcel == kNone || !reached.contains(m.to_parcel)) continue;
    if (m.from_parcel != kNone) reached.insert(m.from_parcel);
    if (const ParcelId before = state.parcels()[m.to_parcel].before; before != kNone) {
      reached.insert(before);
    }
    if (!StaysInVessel(m)) movements.push_back(i);
  }
  return movements;
}

Walk WalkForward(const State& state, absl::Span<const ParcelId> parcels,
                 const absl::flat_hash_set<Commodity>& materials) {
  Walk walk;
  walk.reached.insert(parcels.begin(), parcels.end());
  for (size_t i = 0; i < state.movements().size(); ++i) {
    const Movement& m = state.movements()[i];
    const bool wine =
        m.commodity == kWine && m.from_parcel != kNone && walk.reached.contains(m.from_parcel);
    const bool added = m.to_parcel != kNone && materials.contains(m.commodity);
    const bool joined = m.to_parcel != kNone && m.commodity == kWine &&
                        state.parcels()[m.to_parcel].before != kNone &&
                        walk.reached.contains(state.parcels()[m.to_parcel].before);
    if (!wine && !added && !joined) continue;
    if (m.to_parcel != kNone) walk.reached.insert(m.to_parcel);
    if (!StaysInVessel(m)) walk.movements.push_back(i);
  }
  return walk;
}

}  // namespace rundlet
