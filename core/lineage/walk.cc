#include "core/lineage/walk.h"

#include <algorithm>

namespace rundlet {
namespace {

bool StaysInVessel(const Movement& m) { return m.from == m.to; }

void SortOnce(std::vector<size_t>& movements) {
  std::sort(movements.begin(), movements.end());
  movements.erase(std::unique(movements.begin(), movements.end()), movements.end());
}

// From when on something that is followed is in each parcel: the number of the movement that
// brought it, plus two; 1 where it was there from the beginning. 0: it is not.
class Forward {
 public:
  explicit Forward(const State& state) : state_(state), since_(state.parcels().size(), 0) {}

  void Start(ParcelId parcel) { Reach(parcel, 1); }

  void StartAdded(Commodity material) {
    for (uint32_t i = state_.last_of(material); i != kNone;
         i = state_.movements()[i].earlier_from) {
      if (state_.movements()[i].to_parcel != kNone) Take(i);
    }
  }

  Walk Run() {
    // A parcel's heirs have greater numbers: whoever is come to is complete.
    for (size_t id = first_; id < since_.size(); ++id) {
      if (since_[id] != 0) Follow(static_cast<ParcelId>(id));
    }
    SortOnce(walk_.movements);
    return std::move(walk_);
  }

 private:
  void Follow(ParcelId id) {
    walk_.reached.push_back(id);
    const Parcel& parcel = state_.parcels()[id];
    for (uint32_t i = parcel.last_from; i != kNone && i + 2 > since_[id];
         i = state_.movements()[i].earlier_from) {
      Take(i);
    }
    if (parcel.after == kNone) return;
    // Whatever came into the vessel flowed onto it, also where no wine was there to stay.
    for (uint32_t i = state_.parcels()[parcel.after].last_to; i != kNone && i + 2 > since_[id];
         i = state_.movements()[i].earlier_to) {
      if (state_.movements()[i].commodity == kWine) Take(i);
    }
  }

  void Take(uint32_t index) {
    const Movement& m = state_.movements()[index];
    if (!StaysInVessel(m)) walk_.movements.push_back(index);
    if (m.to_parcel != kNone) Reach(m.to_parcel, index + 2);
  }

  void Reach(ParcelId id, uint32_t since) {
    if (since_[id] == 0 || since < since_[id]) since_[id] = since;
    first_ = std::min<size_t>(first_, id);
  }

  const State& state_;
  std::vector<uint32_t> since_;  // by parcel
  size_t first_ = SIZE_MAX;
  Walk walk_;
};

// Until when what came into each parcel is in what is traced: the number of the movement that took
// it on, plus one; UINT32_MAX where all of it is. 0: nothing is.
class Backward {
 public:
  explicit Backward(const State& state) : state_(state), until_(state.parcels().size(), 0) {}

  void Start(ParcelId parcel) { Reach(parcel, UINT32_MAX); }

  std::vector<size_t> Run() {
    for (size_t id = last_; id-- > 0;) {
      if (until_[id] != 0) Follow(static_cast<ParcelId>(id));
    }
    SortOnce(movements_);
    std::reverse(movements_.begin(), movements_.end());
    return std::move(movements_);
  }

 private:
  void Follow(ParcelId id) {
    const Parcel& parcel = state_.parcels()[id];
    for (uint32_t i = parcel.last_to; i != kNone; i = state_.movements()[i].earlier_to) {
      if (i + 1 >= until_[id]) continue;  // came when it had gone on
      const Movement& m = state_.movements()[i];
      if (!StaysInVessel(m)) movements_.push_back(i);
      if (m.from_parcel != kNone) Reach(m.from_parcel, i + 1);
      if (parcel.before != kNone) Reach(parcel.before, i + 1);
    }
  }

  void Reach(ParcelId id, uint32_t until) {
    until_[id] = std::max(until_[id], until);
    last_ = std::max<size_t>(last_, id + 1);
  }

  const State& state_;
  std::vector<uint32_t> until_;  // by parcel
  size_t last_ = 0;
  std::vector<size_t> movements_;
};

}  // namespace

std::vector<size_t> WalkBack(const State& state, absl::Span<const ParcelId> parcels) {
  Backward walk(state);
  for (const ParcelId parcel : parcels) walk.Start(parcel);
  return walk.Run();
}

Walk WalkForward(const State& state, absl::Span<const ParcelId> parcels,
                 const absl::flat_hash_set<Commodity>& materials) {
  Forward walk(state);
  for (const ParcelId parcel : parcels) walk.Start(parcel);
  for (const Commodity material : materials) walk.StartAdded(material);
  return walk.Run();
}

}  // namespace rundlet
