#include "core/fold/state.h"

namespace rundlet {

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
  movements_.Truncate(mark.movements);
  parcels_.Truncate(mark.parcels);
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

ParcelId State::Append(const Parcel& parcel) {
  parcels_.Append(parcel);
  return static_cast<ParcelId>(parcels_.size() - 1);
}

FactId State::Append(const Fact& fact) {
  facts_.Append(fact);
  return static_cast<FactId>(facts_.size() - 1);
}

}  // namespace rundlet
