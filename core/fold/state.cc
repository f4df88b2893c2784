#include "core/fold/state.h"

#include <utility>

namespace rundlet {
namespace {

// The head of a list by number, made room for.
uint32_t& HeadOf(std::vector<uint32_t>& heads, uint32_t number) {
  if (number >= heads.size()) heads.resize(number + 1, kNone);
  return heads[number];
}

// Where a parcel is listed: a delivery has no place yet, and stands under its lot.
Handle HereOf(const Parcel& parcel) {
  return parcel.place != kNoHandle ? parcel.place : parcel.lot;
}

}  // namespace

const Balance* State::FindBalance(Place place, Commodity commodity) const {
  const auto it = balance_index_.find({place, commodity});
  return it == balance_index_.end() ? nullptr : &balances_[it->second];
}

State::Mark State::Here() const {
  const auto size = [](const auto& log) { return static_cast<uint32_t>(log.size()); };
  return {size(movements_), size(parcels_),      size(shares_),       size(facts_),
          size(held_),      size(old_holdings_), size(old_balances_), size(old_tolerances_)};
}

void State::CollectTouched(const Mark& mark, Touched& touched) const {
  for (size_t i = mark.old_holdings; i < old_holdings_.size(); ++i) {
    touched.vessels.push_back(old_holdings_[i].vessel);
  }
  for (size_t i = mark.old_balances; i < old_balances_.size(); ++i) {
    touched.balances.push_back(old_balances_[i].index);
  }
}

void State::Rewind(const Mark& mark) {
  for (size_t i = old_holdings_.size(); i-- > mark.old_holdings;) {
    holdings_[old_holdings_[i].vessel] = old_holdings_[i].holding;
  }
  for (size_t i = old_balances_.size(); i-- > mark.old_balances;) {
    Balance& balance = balances_[old_balances_[i].index];
    balance.amount = old_balances_[i].amount;
    balance.last_out = old_balances_[i].last_out;
  }
  if (old_tolerances_.size() > mark.old_tolerances)
    tolerance_ = old_tolerances_[mark.old_tolerances];
  CutMovements(mark.movements);  // before the parcels that they link
  CutParcels(mark.parcels);
  shares_.Truncate(mark.shares);
  facts_.Truncate(mark.facts);
  held_.Truncate(mark.held);
  old_holdings_.Truncate(mark.old_holdings);
  old_balances_.Truncate(mark.old_balances);
  old_tolerances_.Truncate(mark.old_tolerances);
}

void State::SetHolding(Handle vessel, const Holding& holding) {
  if (vessel >= holdings_.size()) holdings_.resize(vessel + 1);
  old_holdings_.Append({vessel, 0, holdings_[vessel]});
  holdings_[vessel] = holding;
}

void State::SetBalance(Place place, Commodity commodity, int64_t amount, RowId last_out) {
  const auto [it, fresh] = balance_index_.try_emplace(std::pair(place, commodity),
                                                      static_cast<uint32_t>(balances_.size()));
  if (fresh) balances_.push_back({.place = place, .commodity = commodity});
  Balance& balance = balances_[it->second];
  old_balances_.Append({it->second, balance.last_out, balance.amount});
  balance.amount = amount;
  balance.last_out = last_out;
}

void State::SetTolerance(const Tolerance& tolerance) {
  old_tolerances_.Append(tolerance_);
  tolerance_ = tolerance;
}

uint32_t State::WriteShares(const Mix& mix) {
  const auto at = static_cast<uint32_t>(shares_.size());
  shares_.Append(absl::Span<const Share>(mix.origins));
  shares_.Append(absl::Span<const Share>(mix.doses));
  return at;
}

void State::Append(Movement movement) {
  const auto index = static_cast<uint32_t>(movements_.size());
  if (movement.commodity != kWine) {
    movement.earlier_from = std::exchange(HeadOf(last_of_, movement.commodity), index);
  } else if (movement.from_parcel != kNone) {
    movement.earlier_from = std::exchange(parcels_[movement.from_parcel].last_from, index);
  }
  if (movement.to_parcel != kNone)
    movement.earlier_to = std::exchange(parcels_[movement.to_parcel].last_to, index);
  movements_.Append(movement);
}

void State::CutMovements(size_t size) {
  for (size_t i = movements_.size(); i-- > size;) {
    const Movement& m = movements_[i];
    if (m.commodity != kWine) {
      last_of_[m.commodity] = m.earlier_from;
    } else if (m.from_parcel != kNone) {
      parcels_[m.from_parcel].last_from = m.earlier_from;
    }
    if (m.to_parcel != kNone) parcels_[m.to_parcel].last_to = m.earlier_to;
  }
  movements_.Truncate(size);
}

ParcelId State::Append(Parcel parcel) {
  const auto id = static_cast<ParcelId>(parcels_.size());
  if (const Handle here = HereOf(parcel); here != kNoHandle)
    parcel.earlier_here = std::exchange(HeadOf(last_at_, here), id);
  if (parcel.before != kNone) parcels_[parcel.before].after = id;
  parcels_.Append(parcel);
  return id;
}

void State::CutParcels(size_t size) {
  for (size_t i = parcels_.size(); i-- > size;) {
    const Parcel& parcel = parcels_[i];
    if (const Handle here = HereOf(parcel); here != kNoHandle) last_at_[here] = parcel.earlier_here;
    if (parcel.before != kNone) parcels_[parcel.before].after = kNone;
  }
  parcels_.Truncate(size);
}

FactId State::Append(const Fact& fact) {
  facts_.Append(fact);
  return static_cast<FactId>(facts_.size() - 1);
}

}  // namespace rundlet
