#include "core/lineage/trace.h"

#include <algorithm>
#include <cstdlib>
#include <map>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/entry/entry.h"
#include "core/lineage/walk.h"
#include "core/view/board.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

using Amounts = std::map<uint32_t, int64_t>;  // by origin parcel or by commodity

// Shares of a volume and of a dose are rounded each for itself, with every pouring.
constexpr int64_t kRoundedUl = 1000;

class Tracer {
 public:
  Tracer(const Fold& fold, Handle subject, ReadEntry read)
      : fold_(fold), state_(fold.state()), subject_(subject), read_(read) {}

  absl::StatusOr<v1::Trace> Back();
  absl::StatusOr<v1::Trace> Forward();

 private:
  std::string Name(Handle handle) const {
    return fold_.directory().NameOf(handle, fold_.sequence());
  }
  v1::Thing::KindCase kind() const { return fold_.directory().kind(subject_); }

  // Back: what is in the subject.
  void CollectVessel(Handle vessel);
  void CollectBottling(Handle bottling);
  void AddDeliveryEnd(ParcelId origin, int64_t volume_ul);
  void AddMaterialEnd(Commodity commodity, int64_t amount);
  void NameMaterial(Handle material, v1::TraceEnd& end) const;
  void AddEndsBack();

  // Forward: how much of what is followed a mix holds.
  int64_t Followed(absl::Span<const Share> origins, absl::Span<const Share> doses,
                   int64_t volume_ul) const;
  void StartForward();
  void AddForwardEnds(const Walk& walk);
  void AddBottlingEnd(Handle bottling, int64_t amount);
  void AddEnd(Handle thing, std::string description, int64_t amount);
  void SetAmount(v1::TraceEnd& end, int64_t amount) const;

  void AddSteps(const std::vector<size_t>& movements);
  std::string PlaceName(Place place) const;

  const Fold& fold_;
  const State& state_;
  const Handle subject_;
  ReadEntry read_;
  v1::Trace trace_;

  std::vector<ParcelId> start_;
  Amounts origins_, doses_;
  absl::flat_hash_set<Handle> one_line_;  // materials whose volume and dose are one end
  // Forward: what is followed. Wine by origin parcel, materials by commodity, or, for a vessel,
  // whole parcels.
  absl::flat_hash_set<ParcelId> followed_origins_;
  absl::flat_hash_set<Commodity> followed_doses_;
  int64_t entered_ = 0;  // how much of it ever went into wine
};

std::string Tracer::PlaceName(Place place) const {
  switch (place.kind()) {
    case Place::Kind::kOutside:
      return std::string(AccountWord(place.account()));
    case Place::Kind::kStock:
      return "store";
    default:
      return Name(place.handle());
  }
}

void Tracer::AddSteps(const std::vector<size_t>& movements) {
  for (const size_t index : movements) {
    const Movement& m = state_.movements()[index];
    const Row& row = fold_.sequence().row(m.row);
    const CommodityInfo& what = fold_.commodities().info(m.commodity);
    v1::TraceStep& step = *trace_.add_steps();
    step.set_entry_id(row.id.ToString());
    step.set_at_us(row.effective_at_us);
    step.set_utc_offset_min(row.utc_offset_min);
    const auto* field = v1::Entry::descriptor()->FindFieldByNumber(row.body);
    step.set_kind(field == nullptr ? "unknown" : field->name());
    step.set_from(PlaceName(m.from));
    step.set_to(PlaceName(m.to));
    if (what.kind == CommodityInfo::Kind::kMaterial && m.to_parcel != kNone) {
      step.set_to(Name(state_.parcels()[m.to_parcel].place));
    }
    if (m.to == Place::Outside(v1::ACCOUNT_GLASS) && m.to_parcel != kNone) {
      step.set_to(Name(state_.parcels()[m.to_parcel].place));
    }
    step.set_amount(m.amount);
    step.set_commodity(what.kind == CommodityInfo::Kind::kWine ? "wine" : Name(what.handle));
    step.set_author(Name(row.author));
  }
}

// ---- back ----

void Tracer::CollectVessel(Handle vessel) {
  const Holding& holding = state_.holding(vessel);
  if (holding.parcel == kNone) return;
  start_.push_back(holding.parcel);
  for (const Share& share : state_.origins(holding)) origins_[share.of] += share.amount;
  for (const Share& share : state_.doses(holding)) doses_[share.of] += share.amount;
}

void Tracer::CollectBottling(Handle bottling) {
  for (size_t i = 0; i < state_.parcels().size(); ++i) {
    const Parcel& parcel = state_.parcels()[i];
    if (parcel.place != bottling || parcel.origin != 0) continue;
    start_.push_back(static_cast<ParcelId>(i));
    for (const Share& share : state_.origins(parcel)) origins_[share.of] += share.amount;
    for (const Share& share : state_.doses(parcel)) doses_[share.of] += share.amount;
  }
  // Closures and the like are on the bottles, not in the wine.
  for (size_t i = 0; i < state_.movements().size(); ++i) {
    const Movement& m = state_.movements()[i];
    if (m.commodity != kWine && m.to_parcel != kNone &&
        state_.parcels()[m.to_parcel].place == bottling) {
      doses_[m.commodity] += m.amount;
    }
  }
}

void Tracer::AddDeliveryEnd(ParcelId origin, int64_t volume_ul) {
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

void Tracer::AddMaterialEnd(Commodity commodity, int64_t amount) {
  const CommodityInfo& info = fold_.commodities().info(commodity);
  v1::TraceEnd& end = *trace_.add_ends();
  NameMaterial(info.handle, end);
  end.mutable_amount()->set_dimension(static_cast<v1::Dimension>(info.measure));
  end.mutable_amount()->set_base(amount);
}

void Tracer::NameMaterial(Handle material, v1::TraceEnd& end) const {
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

void Tracer::AddEndsBack() {
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

absl::StatusOr<v1::Trace> Tracer::Back() {
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
  trace_.set_direction(v1::TRACE_DIRECTION_BACK);
  AddSteps(WalkBack(state_, start_));
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

// ---- forward ----

void Tracer::StartForward() {
  const bool material = kind() == v1::Thing::kMaterial || kind() == v1::Thing::kMaterialLot;
  if (material) {
    for (Commodity c = 0; c < fold_.commodities().size(); ++c) {
      const CommodityInfo& info = fold_.commodities().info(c);
      if (info.kind != CommodityInfo::Kind::kMaterial) continue;
      const Directory::Known* known = fold_.directory().Find(info.handle);
      const bool delivered =
          known != nullptr && known->thing.has_material_lot() &&
          known->thing.material_lot().material_id() == fold_.interner().id(subject_).bytes();
      if (info.handle == subject_ || delivered) followed_doses_.insert(c);
    }
    return;
  }
  for (size_t i = 0; i < state_.parcels().size(); ++i) {
    const Parcel& parcel = state_.parcels()[i];
    const auto id = static_cast<ParcelId>(i);
    if (kind() == v1::Thing::kVessel && parcel.place == subject_ && parcel.origin == 0)
      start_.push_back(id);
    if (kind() == v1::Thing::kLot && parcel.lot == subject_ &&
        parcel.origin == v1::ACCOUNT_SOURCE) {
      start_.push_back(id);
      followed_origins_.insert(id);
      entered_ += parcel.volume_ul;
    }
  }
}

int64_t Tracer::Followed(absl::Span<const Share> origins, absl::Span<const Share> doses,
                         int64_t volume_ul) const {
  if (kind() == v1::Thing::kVessel) return volume_ul;
  int64_t amount = 0;
  for (const Share& share : origins)
    amount += followed_origins_.contains(share.of) ? share.amount : 0;
  for (const Share& share : doses) amount += followed_doses_.contains(share.of) ? share.amount : 0;
  return amount;
}

void Tracer::SetAmount(v1::TraceEnd& end, int64_t amount) const {
  v1::Dimension dimension = v1::DIMENSION_VOLUME;
  if (!followed_doses_.empty()) {
    dimension =
        static_cast<v1::Dimension>(fold_.commodities().info(*followed_doses_.begin()).measure);
  }
  end.mutable_amount()->set_dimension(dimension);
  end.mutable_amount()->set_base(amount);
}

void Tracer::AddEnd(Handle thing, std::string description, int64_t amount) {
  v1::TraceEnd& end = *trace_.add_ends();
  if (thing != kNoHandle) end.set_thing_id(fold_.interner().id(thing).ToString());
  end.set_description(std::move(description));
  SetAmount(end, amount);
}

void Tracer::AddBottlingEnd(Handle bottling, int64_t amount) {
  std::vector<std::string> where;
  int64_t bottles = 0;
  for (const Balance& balance : state_.balances()) {
    const CommodityInfo& info = fold_.commodities().info(balance.commodity);
    if (info.kind != CommodityInfo::Kind::kBottles || info.handle != bottling ||
        balance.amount == 0 || balance.place.kind() == Place::Kind::kOutside)
      continue;
    where.push_back(absl::StrCat(balance.amount, " x ",
                                 FormatAmountOf(v1::DIMENSION_VOLUME, info.measure), " in ",
                                 Name(balance.place.handle())));
    bottles += balance.amount;
  }
  std::map<std::string, int64_t> out;
  for (size_t i = 0; i < state_.movements().size(); ++i) {
    const Movement& m = state_.movements()[i];
    const CommodityInfo& info = fold_.commodities().info(m.commodity);
    if (info.kind != CommodityInfo::Kind::kBottles || info.handle != bottling) continue;
    if (m.to.kind() == Place::Kind::kOutside)
      out[std::string(AccountWord(m.to.account()))] += m.amount;
    if (m.from.kind() == Place::Kind::kOutside && m.from.account() != v1::ACCOUNT_GLASS) {
      out[std::string(AccountWord(m.from.account()))] -= m.amount;
    }
  }
  std::sort(where.begin(), where.end());
  for (const auto& [word, count] : out) {
    if (count != 0) where.push_back(absl::StrCat(count, " ", word));
  }
  AddEnd(bottling, absl::StrCat("bottling ", Name(bottling), ": ", absl::StrJoin(where, ", ")),
         amount);
  trace_.mutable_ends(trace_.ends_size() - 1)->set_bottles(bottles);
}

void Tracer::AddForwardEnds(const Walk& walk) {
  const absl::flat_hash_set<ParcelId>& reached = walk.reached;
  int64_t found = 0;
  for (const Handle vessel : ThingsByName(fold_, v1::Thing::kVessel, true)) {
    const Holding& holding = state_.holding(vessel);
    if (holding.parcel == kNone || !reached.contains(holding.parcel)) continue;
    const int64_t amount =
        Followed(state_.origins(holding), state_.doses(holding), holding.volume_ul);
    if (amount == 0) continue;
    found += amount;
    AddEnd(vessel, absl::StrCat("vessel ", Name(vessel)), amount);
  }
  std::map<Handle, int64_t> bottlings;
  for (const ParcelId id : reached) {
    const Parcel& parcel = state_.parcels()[id];
    if (fold_.directory().kind(parcel.place) != v1::Thing::kBottling) continue;
    bottlings[parcel.place] +=
        Followed(state_.origins(parcel), state_.doses(parcel), parcel.volume_ul);
  }
  for (const size_t index :
       walk.movements) {  // closures and the like: on the bottles, not in the wine
    const Movement& m = state_.movements()[index];
    if (!followed_doses_.contains(m.commodity)) continue;
    const Handle place = state_.parcels()[m.to_parcel].place;
    if (fold_.directory().kind(place) == v1::Thing::kBottling) bottlings[place] += m.amount;
  }
  for (const Handle bottling : ThingsByName(fold_, v1::Thing::kBottling, true)) {
    const auto it = bottlings.find(bottling);
    if (it == bottlings.end() || it->second == 0) continue;
    found += it->second;
    AddBottlingEnd(bottling, it->second);
  }
  if (kind() != v1::Thing::kVessel && entered_ > found) {
    AddEnd(kNoHandle, "no longer here: lees, losses, samples, wine served from the vessel",
           entered_ - found);
  }
}

absl::StatusOr<v1::Trace> Tracer::Forward() {
  switch (kind()) {
    case v1::Thing::kVessel:
    case v1::Thing::kLot:
    case v1::Thing::kMaterial:
    case v1::Thing::kMaterialLot:
      break;
    default:
      return absl::InvalidArgumentError(
          absl::StrCat("only a material, a packet, a lot or a vessel is traced forward; ",
                       Name(subject_), " is a ", KindWord(kind())));
  }
  StartForward();
  Walk walk = WalkForward(state_, start_, followed_doses_);
  if (walk.movements.empty()) {
    return absl::FailedPreconditionError(
        absl::StrCat(Name(subject_), " has not gone into any wine"));
  }
  trace_.set_direction(v1::TRACE_DIRECTION_FORWARD);
  AddSteps(walk.movements);
  if (followed_doses_.empty()) {
    AddForwardEnds(walk);
    return std::move(trace_);
  }
  // What was weighed and what was counted of a material is not added up.
  const absl::flat_hash_set<Commodity> all = followed_doses_;
  for (const int64_t dimension : {v1::DIMENSION_MASS, v1::DIMENSION_VOLUME, v1::DIMENSION_COUNT}) {
    followed_doses_.clear();
    entered_ = 0;
    for (const Commodity c : all) {
      if (fold_.commodities().info(c).measure == dimension) followed_doses_.insert(c);
    }
    for (const size_t index : walk.movements) {
      const Movement& m = state_.movements()[index];
      if (followed_doses_.contains(m.commodity)) entered_ += m.amount;
    }
    if (entered_ > 0) AddForwardEnds(walk);
  }
  return std::move(trace_);
}

}  // namespace

absl::StatusOr<v1::Trace> MakeTrace(const Fold& fold, Handle subject, v1::TraceDirection direction,
                                    ReadEntry read) {
  Tracer tracer(fold, subject, read);
  absl::StatusOr<v1::Trace> trace =
      direction == v1::TRACE_DIRECTION_FORWARD ? tracer.Forward() : tracer.Back();
  if (trace.ok()) {
    trace->set_subject_id(fold.interner().id(subject).ToString());
    trace->set_subject_name(fold.directory().NameOf(subject, fold.sequence()));
  }
  return trace;
}

}  // namespace rundlet
