#include "core/costs/costs.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "core/costs/sinks.h"
#include "core/quantity/apportion.h"
#include "core/quantity/rounding.h"
#include "core/view/names.h"

namespace rundlet::costs {
namespace {

class CostMaker {
 public:
  explicit CostMaker(const Fold& fold) : fold_(fold), sinks_(SinksOf(fold)) {
    MakePlaces();
    MeasurePackets();
  }

  CostBook Make() && {
    std::vector<RowId> rows;
    for (const auto& [row, record] : fold_.records().all()) {
      if (Counts(fold_, row)) rows.push_back(row);
    }
    std::sort(rows.begin(), rows.end(),
              [&](RowId a, RowId b) { return fold_.sequence().Before(a, b); });
    for (const RowId row : rows) Take(row, *fold_.records().Find(row));
    for (const CostPart& part : book_.parts) book_.places[part.place].cents += part.cents;
    return std::move(book_);
  }

 private:
  void MakePlaces() {
    std::map<std::tuple<bool, std::string, Uuid>, std::vector<size_t>> by_name;
    for (size_t i = 0; i < sinks_.size(); ++i) {
      const Sink& sink = sinks_[i];
      by_name[{sink.glass, fold_.directory().NameOf(sink.place, fold_.sequence()),
               fold_.interner().id(sink.place)}]
          .push_back(i);
    }
    place_of_.resize(sinks_.size());
    for (const auto& [key, sinks] : by_name) {
      CostPlace& place = book_.places.emplace_back();
      place.place = sinks_[sinks.front()].place;
      place.glass = std::get<bool>(key);
      for (const size_t i : sinks) {
        place_of_[i] = book_.places.size() - 1;
        place.volume_ul += sinks_[i].volume_ul;
        place.lot = sinks_[i].lot;
      }
      if (place.glass) place.bottles = BottlesOf(place.place);
    }
  }

  int64_t BottlesOf(Handle bottling) const {
    int64_t bottles = 0;
    const Place glass = Place::Outside(v1::ACCOUNT_GLASS);
    for (size_t i = 0; i < fold_.state().movements().size(); ++i) {
      const Movement& m = fold_.state().movements()[i];
      const CommodityInfo& info = fold_.commodities().info(m.commodity);
      if (info.kind != CommodityInfo::Kind::kBottles || info.handle != bottling) continue;
      if (m.from == glass) bottles += m.amount;
      if (m.to == glass) bottles -= m.amount;
    }
    return bottles;
  }

  // How much of each packet came in, and how much of it is left.
  void MeasurePackets() {
    for (size_t i = 0; i < fold_.state().movements().size(); ++i) {
      const Movement& m = fold_.state().movements()[i];
      if (m.to != Place::Stock()) continue;
      if (m.from == Place::Outside(v1::ACCOUNT_SOURCE)) received_[m.commodity] += m.amount;
    }
    for (const Balance& balance : fold_.state().balances()) {
      if (balance.place == Place::Stock()) in_stock_[balance.commodity] = balance.amount;
    }
  }

  // Shares a cost out by the weight of each sink.
  template <typename WeightOf>
  void ShareOut(Cost cost, int64_t cents, WeightOf weight_of) {
    std::vector<int64_t> weights(book_.places.size());
    bool any = false;
    for (size_t i = 0; i < sinks_.size(); ++i) {
      const int64_t weight = weight_of(sinks_[i]);
      weights[place_of_[i]] += weight;
      any = any || weight > 0;
    }
    const size_t index = book_.costs.size();
    book_.costs.push_back(std::move(cost));
    if (!any) {
      book_.spent_cents += cents;
      return;
    }
    const std::vector<int64_t> parts = Apportion(cents, weights);
    for (size_t place = 0; place < parts.size(); ++place) {
      if (parts[place] > 0) book_.parts.push_back({index, place, parts[place]});
    }
  }

  void Take(RowId row, const v1::Entry& record) {
    switch (record.body_case()) {
      case v1::Entry::kWineReceived:
        TakeDelivery(row, record.wine_received());
        break;
      case v1::Entry::kMaterialReceived:
        TakePacket(row, record.material_received());
        break;
      case v1::Entry::kCostEntered:
        TakeCost(row, record.cost_entered());
        break;
      default:
        break;
    }
  }

  void TakeDelivery(RowId row, const v1::WineReceived& received) {
    const size_t position = fold_.sequence().PositionOf(row);
    const absl::Span<const Parcel> parcels = fold_.ParcelsAt(position);
    const ParcelId origin = fold_.FirstParcelAt(position);
    ShareOut({.kind = CostKind::kWine,
              .row = row,
              .what = HandleOf(fold_, received.lot_id()),
              .cents = received.cost_cents()},
             received.cost_cents(), [&](const Sink& sink) {
               const auto share = parcels.empty() ? sink.origins.end() : sink.origins.find(origin);
               return share == sink.origins.end() ? 0 : share->second;
             });
  }

  void TakePacket(RowId row, const v1::MaterialReceived& received) {
    const Handle packet = HandleOf(fold_, received.material_lot_id());
    const CommodityInfo info{CommodityInfo::Kind::kMaterial, packet, received.amount().dimension()};
    const auto& infos = fold_.commodities().infos();
    const auto found = std::find(infos.begin(), infos.end(), info);
    const auto commodity = static_cast<Commodity>(found - infos.begin());
    const Cost cost{
        .kind = CostKind::kMaterial, .row = row, .what = packet, .cents = received.cost_cents()};
    // Of several deliveries of one packet each is used in proportion.
    const int64_t came = std::max(received_[commodity], received.amount().base());
    const int64_t left = std::min(in_stock_[commodity], came);
    const std::vector<int64_t> parts = Apportion(received.cost_cents(), {left, came - left});
    book_.in_stock_cents += parts[0];
    ShareOut(cost, parts[1], [&](const Sink& sink) {
      const auto dose = sink.doses.find(commodity);
      return dose == sink.doses.end() ? 0 : dose->second;
    });
  }

  void TakeCost(RowId row, const v1::CostEntered& entered) {
    const Handle lot = HandleOf(fold_, entered.lot_id());
    const bool cellar = entered.lot_id().empty();
    ShareOut({.kind = cellar ? CostKind::kCellar : CostKind::kLot,
              .row = row,
              .what = lot,
              .cents = entered.cents(),
              .excise = entered.excise(),
              .text = entered.what()},
             entered.cents(), [&](const Sink& sink) {
               return cellar || sink.lot == lot ? sink.volume_ul : CameAs(lot, sink);
             });
  }

  // How much of a sink was delivered as a lot, whatever it became part of.
  int64_t CameAs(Handle lot, const Sink& sink) const {
    int64_t volume_ul = 0;
    for (const auto& [origin, share_ul] : sink.origins) {
      const Parcel& parcel = fold_.state().parcels()[origin];
      if (parcel.origin == v1::ACCOUNT_SOURCE && parcel.lot == lot) volume_ul += share_ul;
    }
    return volume_ul;
  }

  const Fold& fold_;
  std::vector<Sink> sinks_;
  std::vector<size_t> place_of_;  // of each sink
  absl::flat_hash_map<Commodity, int64_t> received_, in_stock_;
  CostBook book_;
};

}  // namespace

int64_t CostPlace::CentsPerBottle() const {
  return bottles <= 0 ? 0 : DivideHalfEven(cents, bottles)->value;
}

int64_t CostBook::total_cents() const {
  int64_t sum = 0;
  for (const Cost& cost : costs) sum += cost.cents;
  return sum;
}

CostBook MakeCostBook(const Fold& fold) { return CostMaker(fold).Make(); }

}  // namespace rundlet::costs
