// What is in something: deliveries and materials.
#include <algorithm>
#include <cstdlib>
#include <map>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/lineage/trace_parts.h"
#include "core/lineage/walk.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

using Amounts = std::map<uint32_t, int64_t>;  // by origin parcel or by commodity

// Shares of a volume and of a dose are rounded each for itself, with every pouring.
constexpr int64_t kRoundedUl = 1000;

class BackTracer {
 public:
  BackTracer(const Fold& fold, Handle subject, ReadEntry read, const TraceOptions& options)
      : fold_(fold), state_(fold.state()), subject_(subject), read_(read), options_(options) {}

  absl::StatusOr<v1::Trace> Trace();

 private:
  std::string Name(Handle handle) const { return NameOf(fold_, handle); }
  v1::Thing::KindCase kind() const { return fold_.directory().kind(subject_); }

  void CollectVessel(Handle vessel);
  void CollectBottling(Handle bottling);
  void AddDeliveryEnd(ParcelId origin, int64_t volume_ul);
  void AddMaterialEnd(Commodity commodity, int64_t amount);
  void NameMaterial(Handle material, v1::TraceEnd& end) const;
  void AddEndsBack();

  const Fold& fold_;
  const State& state_;
  const Handle subject_;
  ReadEntry read_;
  const TraceOptions& options_;
  v1::Trace trace_;

  std::vector<ParcelId> start_;
  Amounts origins_, doses_;
  absl::flat_hash_set<Handle> one_line_;  // materials whose volume and dose are one end
};

void BackTracer::CollectVessel(Handle vessel) {
  const Holding& holding = state_.holding(vessel);
  if (holding.parcel == kNone) return;
  start_.push_back(holding.parcel);
  for (const Share& share : state_.origins(holding)) origins_[share.of] += share.amount;
  for (const Share& share : state_.doses(holding)) doses_[share.of] += share.amount;
}

void BackTracer::CollectBottling(Handle bottling) {
  const State& state = fold_.state();
  for (ParcelId id = state.last_at(bottling); id != kNone; id = state.parcels()[id].earlier_here) {
    const Parcel& parcel = state.parcels()[id];
    if (parcel.origin != 0) continue;
    start_.push_back(id);
    for (const Share& share : state.origins(parcel)) origins_[share.of] += share.amount;
    for (const Share& share : state.doses(parcel)) doses_[share.of] += share.amount;
    // Closures and the like are on the bottles, not in the wine.
    for (uint32_t i = parcel.last_to; i != kNone; i = state.movements()[i].earlier_to) {
      const Movement& m = state.movements()[i];
      if (m.commodity != kWine) doses_[m.commodity] += m.amount;
    }
  }
}

void BackTracer::AddDeliveryEnd(ParcelId origin, int64_t volume_ul) {
  const Parcel& parcel = state_.parcels()[origin];
  const Row& row = fold_.sequence().row(parcel.row);
  v1::TraceEnd& end = *trace_.add_ends();
  end.mutable_amount()->set_dimension(v1::DIMENSION_VOLUME);
  end.mutable_amount()->set_base(volume_ul);
  if (parcel.origin == v1::ACCOUNT_SOURCE) {
    end.set_thing_id(fold_.interner().id(parcel.lot).ToString());
    const auto entry = read_(row.id);
    if (!entry.ok()) {
      end.set_description(Name(parcel.lot));
      return;
    }
    const v1::WineReceived& received = entry->wine_received();
    end.set_description(absl::StrCat(InflowWord(received.kind()), " for ", Name(parcel.lot)));
    end.set_supplier(received.supplier());
    end.set_supplier_lot(received.supplier_lot());
  } else if (parcel.origin == v1::ACCOUNT_ADDITION) {
    NameMaterial(parcel.place, end);
    end.set_description(absl::StrCat("volume of added ", end.description()));
  } else {
    end.set_description(absl::StrCat("found in ", Name(parcel.place), " beyond the book"));
  }
}

void BackTracer::AddMaterialEnd(Commodity commodity, int64_t amount) {
  const CommodityInfo& info = fold_.commodities().info(commodity);
  v1::TraceEnd& end = *trace_.add_ends();
  NameMaterial(info.handle, end);
  end.mutable_amount()->set_dimension(static_cast<v1::Dimension>(info.measure));
  end.mutable_amount()->set_base(amount);
}

void BackTracer::NameMaterial(Handle material, v1::TraceEnd& end) const {
  end.set_thing_id(fold_.interner().id(material).ToString());
  end.set_description(Name(material));
  const Directory::Known* known = fold_.directory().Find(material);
  if (known == nullptr || !known->thing.has_material_lot()) return;
  const v1::MaterialLot& lot = known->thing.material_lot();
  if (const auto id = Uuid::FromBytes(lot.material_id()); id.ok()) {
    end.set_description(absl::StrCat(Name(fold_.interner().Find(*id)), ", packet ", lot.name()));
  }
  end.set_supplier(lot.supplier());
  end.set_supplier_lot(lot.supplier_lot());
}

void BackTracer::AddEndsBack() {
  // What brought its volume along is an origin of wine and a dose: one line, where both say the
  // same.
  std::map<Handle, int64_t> brought_ul;
  for (const auto& [origin, volume_ul] : origins_) {
    const Parcel& parcel = state_.parcels()[origin];
    if (parcel.origin == v1::ACCOUNT_ADDITION) brought_ul[parcel.place] += volume_ul;
  }
  for (const auto& [commodity, amount] : doses_) {
    const CommodityInfo& info = fold_.commodities().info(commodity);
    const auto brought = brought_ul.find(info.handle);
    if (info.measure == v1::DIMENSION_VOLUME && brought != brought_ul.end() &&
        std::abs(brought->second - amount) <= kRoundedUl) {
      AddMaterialEnd(commodity, brought->second);  // with this volume the ends add up
      brought_ul.erase(brought);
      one_line_.insert(info.handle);
    } else {
      AddMaterialEnd(commodity, amount);
    }
  }
  for (const auto& [origin, volume_ul] : origins_) {
    const Parcel& parcel = state_.parcels()[origin];
    if (parcel.origin != v1::ACCOUNT_ADDITION || !one_line_.contains(parcel.place))
      AddDeliveryEnd(origin, volume_ul);
  }
}

absl::StatusOr<v1::Trace> BackTracer::Trace() {
  switch (kind()) {
    case v1::Thing::kVessel:
      CollectVessel(subject_);
      break;
    case v1::Thing::kBottling:
      CollectBottling(subject_);
      break;
    case v1::Thing::kLot:
      for (const Handle vessel : VesselsHolding(fold_, subject_)) CollectVessel(vessel);
      for (const Handle bottling : ThingsByName(fold_, v1::Thing::kBottling, true)) {
        const v1::Thing& thing = fold_.directory().Find(bottling)->thing;
        if (thing.bottling().lot_id() == fold_.interner().id(subject_).bytes())
          CollectBottling(bottling);
      }
      break;
    default:
      return absl::InvalidArgumentError(
          absl::StrCat("only a vessel, a lot or a bottling is traced back; ", Name(subject_),
                       " is a ", KindWord(kind())));
  }
  if (start_.empty()) {
    return absl::FailedPreconditionError(
        absl::StrCat("there is nothing in ", Name(subject_), " to trace back"));
  }
  if (options_.steps) AddSteps(fold_, WalkBack(state_, start_), trace_);
  AddEndsBack();
  std::stable_sort(
      trace_.mutable_ends()->begin(), trace_.mutable_ends()->end(),
      [](const v1::TraceEnd& a, const v1::TraceEnd& b) {
        // Volumes, weights, pieces; the most first; ties by id, not by arrival.
        const auto rank = [](const v1::TraceEnd& end) {
          return end.amount().dimension() == v1::DIMENSION_VOLUME ? 0 : end.amount().dimension();
        };
        if (rank(a) != rank(b)) return rank(a) < rank(b);
        if (a.amount().base() != b.amount().base()) return a.amount().base() > b.amount().base();
        return a.thing_id() < b.thing_id();
      });
  return std::move(trace_);
}

}  // namespace

absl::StatusOr<v1::Trace> TraceBack(const Fold& fold, Handle subject, ReadEntry read,
                                    const TraceOptions& options) {
  return BackTracer(fold, subject, read, options).Trace();
}

}  // namespace rundlet
