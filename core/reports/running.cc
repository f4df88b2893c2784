#include "core/reports/running.h"

#include "absl/strings/str_cat.h"

namespace rundlet::reports {

void Running::Take(const Movement& movement) {
  Add(movement.from, movement.commodity, -movement.amount, kNone);
  Add(movement.to, movement.commodity, movement.amount, movement.to_parcel);
}

void Running::Add(Place place, Commodity commodity, int64_t amount, ParcelId parcel) {
  if (place.kind() == Place::Kind::kVessel) {
    if (place.handle() >= vessels_.size()) vessels_.resize(place.handle() + 1);
    InVessel& vessel = vessels_[place.handle()];
    vessel.volume_ul += amount;
    if (parcel != kNone) vessel.parcel = parcel;
  } else if (IsInside(place)) {
    balances_[{place, commodity}] += amount;
  }
}

Handle Running::LotIn(Handle vessel) const {
  const InVessel& in = In(vessel);
  return in.volume_ul == 0 || in.parcel == kNone ? kNoHandle
                                                 : fold_.state().parcels()[in.parcel].lot;
}

absl::Status Running::Agrees() const {
  const State& state = fold_.state();
  const auto name = [this](Handle thing) {
    return fold_.directory().NameOf(thing, fold_.sequence());
  };
  const auto differs = [](absl::string_view what, int64_t moved, int64_t kept) {
    return absl::InternalError(absl::StrCat("the book does not add up: movements leave ", moved,
                                            " in ", what, ", the fold keeps ", kept,
                                            "; nothing was reported. Please report this error"));
  };
  for (Handle vessel = 0; vessel < std::max(vessels_.size(), state.holdings()); ++vessel) {
    const Holding& holding = state.holding(vessel);
    if (In(vessel).volume_ul != holding.volume_ul)
      return differs(name(vessel), In(vessel).volume_ul, holding.volume_ul);
    if (holding.volume_ul > 0 && LotIn(vessel) != holding.lot) {
      return absl::InternalError(absl::StrCat("the book does not add up: movements leave lot ",
                                              name(LotIn(vessel)), " in ", name(vessel),
                                              ", the fold keeps ", name(holding.lot)));
    }
  }
  for (const Balance& balance : state.balances()) {
    const auto it = balances_.find({balance.place, balance.commodity});
    const int64_t moved = it == balances_.end() ? 0 : it->second;
    if (moved != balance.amount) {
      const Place place = balance.place;
      return differs(place.kind() == Place::Kind::kBin     ? name(place.handle())
                     : place.kind() == Place::Kind::kStock ? std::string("the stock")
                                                           : std::string("opened bottles"),
                     moved, balance.amount);
    }
  }
  return absl::OkStatus();
}

}  // namespace rundlet::reports
