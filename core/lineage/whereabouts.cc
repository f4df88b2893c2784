#include "core/lineage/whereabouts.h"

#include "core/lineage/carry.h"

namespace rundlet {
namespace {

// Of a wine that was emptied back out of its bottles, the rest is in glass.
int64_t OutOfGlass(const State& state, const Parcel& session) {
  int64_t volume_ul = 0;
  for (uint32_t i = session.last_from; i != kNone; i = state.movements()[i].earlier_from)
    volume_ul += state.movements()[i].amount;
  return volume_ul;
}

class Finder {
 public:
  Finder(const Fold& fold, const Followed& followed, const Walk& walk)
      : fold_(fold), state_(fold.state()), followed_(followed), walk_(walk) {}

  Whereabouts Find() {
    std::vector<Carried> carried;
    if (!followed_.parcels.empty())
      carried = CarryForward(state_, followed_.parcels, walk_.reached);
    for (size_t i = 0; i < walk_.reached.size(); ++i) {
      const ParcelId id = walk_.reached[i];
      const Parcel& parcel = state_.parcels()[id];
      if (parcel.origin != 0) continue;
      const Carried* here = carried.empty() ? nullptr : &carried[i];
      if (fold_.directory().kind(parcel.place) == v1::Thing::kBottling) {
        TakeSession(id, parcel, here);
      } else if (state_.holding(parcel.place).parcel == id) {
        TakeVessel(parcel.place, here);
      }
    }
    CountEntered();
    return std::move(where_);
  }

 private:
  void TakeVessel(Handle vessel, const Carried* carried) {
    const Holding& holding = state_.holding(vessel);
    const int64_t amount = carried != nullptr
                               ? carried->left_ul
                               : followed_.In(state_.origins(holding), state_.doses(holding));
    if (amount == 0) return;
    where_.vessels.push_back({.vessel = vessel, .volume_ul = holding.volume_ul, .amount = amount});
    where_.found += amount;
  }

  void TakeSession(ParcelId id, const Parcel& parcel, const Carried* carried) {
    Whereabouts::InGlass glass{
        .bottling = parcel.place, .session = id, .filled_ul = parcel.volume_ul};
    if (carried != nullptr) {
      glass.filled_amount = carried->arrived_ul;
      glass.amount = carried->left_ul;
    } else {
      const int64_t out_ul = OutOfGlass(state_, parcel);
      glass.filled_amount = followed_.In(state_.origins(parcel), state_.doses(parcel));
      glass.amount = glass.filled_amount;
      if (out_ul > 0) glass.amount -= Scale(glass.filled_amount, out_ul, parcel.volume_ul).whole;
    }
    for (uint32_t i = parcel.last_to; i != kNone; i = state_.movements()[i].earlier_to) {
      const Movement& m = state_.movements()[i];
      if (m.commodity != kWine && followed_.materials.contains(m.commodity))
        glass.packaging += m.amount;
    }
    if (glass.filled_amount == 0 && glass.packaging == 0) return;
    where_.found += glass.amount + glass.packaging;
    where_.sessions.push_back(glass);
  }

  void CountEntered() {
    for (const ParcelId id : followed_.deliveries) where_.entered += state_.parcels()[id].volume_ul;
    for (const Commodity material : followed_.materials) {
      for (uint32_t i = state_.last_of(material); i != kNone;
           i = state_.movements()[i].earlier_from) {
        if (state_.movements()[i].to_parcel != kNone)
          where_.entered += state_.movements()[i].amount;
      }
    }
  }

  const Fold& fold_;
  const State& state_;
  const Followed& followed_;
  const Walk& walk_;
  Whereabouts where_;
};

}  // namespace

int64_t Followed::In(absl::Span<const Share> origins, absl::Span<const Share> doses) const {
  int64_t amount = 0;
  if (!deliveries.empty()) {
    for (const Share& share : origins) amount += deliveries.contains(share.of) ? share.amount : 0;
  }
  if (!materials.empty()) {
    for (const Share& share : doses) amount += materials.contains(share.of) ? share.amount : 0;
  }
  return amount;
}

Followed FollowThing(const Fold& fold, Handle thing) {
  const State& state = fold.state();
  Followed followed;
  switch (fold.directory().kind(thing)) {
    case v1::Thing::kMaterial:
    case v1::Thing::kMaterialLot:
      for (Commodity c = 0; c < fold.commodities().size(); ++c) {
        const CommodityInfo& info = fold.commodities().info(c);
        if (info.kind != CommodityInfo::Kind::kMaterial) continue;
        const Directory::Known* known = fold.directory().Find(info.handle);
        const bool delivered =
            known != nullptr && known->thing.has_material_lot() &&
            known->thing.material_lot().material_id() == fold.interner().id(thing).bytes();
        if (info.handle == thing || delivered) followed.materials.insert(c);
      }
      break;
    case v1::Thing::kLot:
    case v1::Thing::kVessel: {
      const bool lot = fold.directory().kind(thing) == v1::Thing::kLot;
      for (ParcelId id = state.last_at(thing); id != kNone; id = state.parcels()[id].earlier_here) {
        if (lot && state.parcels()[id].origin == v1::ACCOUNT_SOURCE) followed.deliveries.insert(id);
        if (!lot && state.parcels()[id].origin == 0) followed.parcels.push_back(id);
      }
      break;
    }
    default:
      break;
  }
  return followed;
}

Followed OfDimension(const Fold& fold, const Followed& followed, v1::Dimension dimension) {
  Followed some = followed;
  some.materials.clear();
  for (const Commodity c : followed.materials) {
    if (fold.commodities().info(c).measure == dimension) some.materials.insert(c);
  }
  return some;
}

Walk WalkOf(const Fold& fold, const Followed& followed) {
  std::vector<ParcelId> parcels = followed.parcels;
  parcels.insert(parcels.end(), followed.deliveries.begin(), followed.deliveries.end());
  return WalkForward(fold.state(), parcels, followed.materials);
}

Whereabouts FindWhereabouts(const Fold& fold, const Followed& followed, const Walk& walk) {
  return Finder(fold, followed, walk).Find();
}

}  // namespace rundlet
