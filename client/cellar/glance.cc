#include "client/cellar/glance.h"

#include <algorithm>
#include <iterator>
#include <set>
#include <tuple>

#include "absl/strings/str_cat.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

std::string AmountOf(const Fold& fold, Commodity commodity, int64_t amount) {
  const CommodityInfo& info = fold.commodities().info(commodity);
  if (info.kind == CommodityInfo::Kind::kBottles) return absl::StrCat(amount);
  return amount == 0 ? "0" : FormatAmountOf(static_cast<v1::Dimension>(info.measure), amount);
}

}  // namespace

Glance Glance::Of(const Fold& fold) {
  Glance glance;
  const State& state = fold.state();
  for (Handle vessel = 0; vessel < state.holdings(); ++vessel) {
    const Holding& holding = state.holding(vessel);
    if (holding.volume_ul == 0 && holding.dose_count == 0) continue;
    Content content{.volume_ul = holding.volume_ul, .lot = holding.lot, .origins = {}, .doses = {}};
    for (const Share& share : state.origins(holding)) {
      const Parcel& parcel = state.parcels()[share.of];
      content.origins[{parcel.row, parcel.ordinal}] = share.amount;
    }
    for (const Share& dose : state.doses(holding)) content.doses[dose.of] = dose.amount;
    glance.vessels_.emplace(vessel, std::move(content));
  }
  for (const Balance& balance : state.balances()) {
    if (balance.place.kind() == Place::Kind::kOutside) continue;  // no place that is looked at
    if (balance.amount != 0) glance.balances_[{balance.place, balance.commodity}] = balance.amount;
  }
  for (size_t i = 0; i < state.held().size(); ++i) glance.held_.push_back(state.held()[i].row);
  std::sort(glance.held_.begin(), glance.held_.end());
  return glance;
}

std::string Glance::Say(const Content& content, const Fold& fold) {
  if (content.volume_ul == 0) return "empty";
  const std::string lot = NameOf(fold, content.lot);
  return absl::StrCat(FormatVolume(content.volume_ul), lot.empty() ? "" : " ", lot);
}

void Glance::Compare(const Content& before, const Content& after, const Fold& fold,
                     Difference& difference) {
  difference.before = Say(before, fold);
  difference.after = Say(after, fold);
  difference.more = after.volume_ul > before.volume_ul;
  if (difference.before != difference.after) return;
  // The same to the eye: then it is what is in it.
  std::set<Commodity> commodities;
  for (const auto& [commodity, amount] : before.doses) commodities.insert(commodity);
  for (const auto& [commodity, amount] : after.doses) commodities.insert(commodity);
  std::string was, is;
  for (const Commodity commodity : commodities) {
    const auto b = before.doses.find(commodity);
    const auto a = after.doses.find(commodity);
    const int64_t had = b == before.doses.end() ? 0 : b->second;
    const int64_t has = a == after.doses.end() ? 0 : a->second;
    if (had == has) continue;
    const std::string name = NameOf(fold, fold.commodities().info(commodity).handle);
    absl::StrAppend(&was, ", ", AmountOf(fold, commodity, had), " ", name);
    absl::StrAppend(&is, ", ", AmountOf(fold, commodity, has), " ", name);
  }
  if (was.empty()) is = ", made up otherwise";
  absl::StrAppend(&difference.before, was);
  absl::StrAppend(&difference.after, is);
}

std::vector<Glance::Difference> Glance::DifferencesTo(const Glance& after, const Fold& fold) const {
  static const Content* const kEmpty = new Content;
  std::set<Handle> vessels;
  for (const auto& [vessel, content] : vessels_) vessels.insert(vessel);
  for (const auto& [vessel, content] : after.vessels_) vessels.insert(vessel);
  std::vector<Difference> differences;
  for (const Handle vessel : vessels) {
    const auto was = vessels_.find(vessel);
    const auto is = after.vessels_.find(vessel);
    const Content& b = was == vessels_.end() ? *kEmpty : was->second;
    const Content& a = is == after.vessels_.end() ? *kEmpty : is->second;
    if (b == a) continue;
    Difference& difference = differences.emplace_back();
    difference.place = NameOf(fold, vessel);
    difference.vessel = vessel;
    Compare(b, a, fold, difference);
  }
  const auto by_place = [](const Difference& x, const Difference& y) { return x.place < y.place; };
  std::sort(differences.begin(), differences.end(), by_place);
  std::vector<Difference> rest;
  CompareBalances(after, fold, rest);
  std::stable_sort(rest.begin(), rest.end(), by_place);
  std::move(rest.begin(), rest.end(), std::back_inserter(differences));
  return differences;
}

void Glance::CompareBalances(const Glance& after, const Fold& fold,
                             std::vector<Difference>& differences) const {
  // By name, so that two devices list them alike.
  std::set<std::tuple<bool, std::string, Commodity, Handle>> keys;
  for (const auto* balances : {&balances_, &after.balances_}) {
    for (const auto& [key, amount] : *balances) {
      const auto& [place, commodity] = key;
      const bool stock = place.kind() == Place::Kind::kStock;
      const Handle named = stock ? fold.commodities().info(commodity).handle : place.handle();
      keys.insert({stock, NameOf(fold, named), commodity, place.handle()});
    }
  }
  for (const auto& [stock, name, commodity, handle] : keys) {
    const std::pair<Place, Commodity> key = {stock ? Place::Stock() : Place::Bin(handle),
                                             commodity};
    const auto was = balances_.find(key);
    const auto is = after.balances_.find(key);
    const int64_t b = was == balances_.end() ? 0 : was->second;
    const int64_t a = is == after.balances_.end() ? 0 : is->second;
    if (b == a) continue;
    const CommodityInfo& info = fold.commodities().info(commodity);
    std::string what;
    if (!stock)
      what = absl::StrCat(" of ", NameOf(fold, info.handle), ", ", FormatVolume(info.measure));
    differences.push_back({.place = stock ? absl::StrCat(name, " in stock") : name,
                           .before = AmountOf(fold, commodity, b),
                           .after = absl::StrCat(AmountOf(fold, commodity, a), what)});
  }
}

std::vector<RowId> Glance::NewlyHeldIn(const Glance& after) const {
  std::vector<RowId> fresh;
  std::set_difference(after.held_.begin(), after.held_.end(), held_.begin(), held_.end(),
                      std::back_inserter(fresh));
  return fresh;
}

}  // namespace rundlet::client
