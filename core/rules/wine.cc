#include "core/rules/wine.h"

#include <algorithm>
#include <utility>

namespace rundlet::rules {
namespace {

// Less than this of another wine leaves its density what it was: a twentieth.
constexpr int64_t kTopping = 20;

WineEvent::Kind KindOf(FactType type) {
  switch (type) {
    case FactType::kTreatment:
      return WineEvent::Kind::kTreated;
    case FactType::kObservation:
      return WineEvent::Kind::kObserved;
    default:
      return WineEvent::Kind::kRead;
  }
}

}  // namespace

WineIndex::WineIndex(const Fold& fold, Reach reach)
    : fold_(fold), reach_(reach), care_(fold, reach) {
  if (reach == Reach::kFew) return;
  const Sequence& order = fold.sequence();
  const State& state = fold.state();
  positions_.resize(order.rows());
  for (size_t i = 0; i < order.size(); ++i) positions_[order.at(i)] = static_cast<uint32_t>(i);

  movements_into_.assign(state.parcels().size(), kNone);
  earlier_movements_.resize(state.movements().size());
  for (uint32_t i = 0; i < state.movements().size(); ++i) {
    const ParcelId into = state.movements()[i].to_parcel;
    if (into == kNone) continue;
    earlier_movements_[i] = std::exchange(movements_into_[into], i);
  }
  facts_of_.assign(state.parcels().size(), kNone);
  earlier_facts_.resize(state.facts().size());
  for (FactId i = 0; i < state.facts().size(); ++i) {
    const ParcelId parcel = state.facts()[i].parcel;
    if (parcel == kNone) continue;
    earlier_facts_[i] = std::exchange(facts_of_[parcel], i);
  }
  for (ParcelId i = 0; i < state.parcels().size(); ++i) {
    const Parcel& parcel = state.parcels()[i];
    if (parcel.origin == 0 && fold.directory().kind(parcel.place) == rundlet::v1::Thing::kBottling)
      runs_[parcel.place].push_back(i);
  }
}

WineEvent WineIndex::EventOf(WineEvent::Kind kind, RowId row, size_t position) const {
  return {.kind = kind,
          .position = position,
          .at_us = fold_.sequence().row(row).effective_at_us,
          .row = row};
}

void WineIndex::AddEvent(const Movement& movement, ParcelId parcel, size_t position,
                         std::vector<WineEvent>& events) const {
  if (movement.to != Place::Outside(rundlet::v1::ACCOUNT_USED)) return;
  WineEvent event = EventOf(WineEvent::Kind::kAdded, movement.row, position);
  const CommodityInfo& info = fold_.commodities().info(movement.commodity);
  event.material = info.handle;
  event.dimension = static_cast<rundlet::v1::Dimension>(info.measure);
  event.value = movement.amount;
  event.volume_ul = fold_.state().parcels()[parcel].volume_ul;
  events.push_back(event);
}

void WineIndex::AddEvent(const Fact& fact, size_t position, std::vector<WineEvent>& events) const {
  WineEvent event = EventOf(KindOf(fact.type), fact.row, position);
  event.of = fact.kind;
  event.unit = fact.unit;
  event.value = fact.value;
  events.push_back(event);
}

void WineIndex::CollectAt(ParcelId parcel, size_t end, std::vector<WineEvent>& events) const {
  if (reach_ == Reach::kFew) return CollectByScan(parcel, end, events);
  for (uint32_t i = movements_into_[parcel]; i != kNone; i = earlier_movements_[i]) {
    const Movement& m = fold_.state().movements()[i];
    if (positions_[m.row] < end) AddEvent(m, parcel, positions_[m.row], events);
  }
  for (FactId i = facts_of_[parcel]; i != kNone; i = earlier_facts_[i]) {
    const Fact& fact = fold_.state().facts()[i];
    if (positions_[fact.row] < end) AddEvent(fact, positions_[fact.row], events);
  }
}

void WineIndex::CollectByScan(ParcelId parcel, size_t end, std::vector<WineEvent>& events) const {
  const Sequence& order = fold_.sequence();
  const Parcel& made = fold_.state().parcels()[parcel];
  const size_t begin = order.PositionOf(made.row);
  for (size_t position = std::min(end, order.size()); position-- > begin;) {
    const Row& row = order.row(order.at(position));
    // Additions, readings, treatments and observations name the vessel in their first line.
    const auto lines = order.lines(row);
    if (lines.empty() || lines[0].handle != made.place) continue;
    const auto movements = fold_.MovementsAt(position);
    for (auto m = movements.rbegin(); m != movements.rend(); ++m) {
      if (m->to_parcel == parcel) AddEvent(*m, parcel, position, events);
    }
    const auto facts = fold_.FactsAt(position);
    for (auto fact = facts.rbegin(); fact != facts.rend(); ++fact) {
      if (fact->parcel == parcel) AddEvent(*fact, position, events);
    }
  }
}

std::vector<const Movement*> WineIndex::MovementsInto(ParcelId parcel) const {
  std::vector<const Movement*> found;
  if (reach_ == Reach::kFew) {
    for (const Movement& m : fold_.MovementsAt(PositionOf(fold_.state().parcels()[parcel].row))) {
      if (m.to_parcel == parcel) found.push_back(&m);
    }
    return found;
  }
  for (uint32_t i = movements_into_[parcel]; i != kNone; i = earlier_movements_[i])
    found.push_back(&fold_.state().movements()[i]);
  std::reverse(found.begin(), found.end());
  return found;
}

std::vector<ParcelId> WineIndex::RunsOf(Handle bottling) const {
  if (reach_ == Reach::kAll) {
    const auto runs = runs_.find(bottling);
    return runs == runs_.end() ? std::vector<ParcelId>() : runs->second;
  }
  std::vector<ParcelId> found;
  const auto& parcels = fold_.state().parcels();
  for (ParcelId i = 0; i < parcels.size(); ++i) {
    if (parcels[i].origin == 0 && parcels[i].place == bottling) found.push_back(i);
  }
  return found;
}

ParcelId WineIndex::CollectMaking(ParcelId parcel, Wine& wine) const {
  const Parcel& made = fold_.state().parcels()[parcel];
  const bool onto = made.before != kNone && fold_.state().parcels()[made.before].volume_ul > 0;
  WineEvent event = EventOf(WineEvent::Kind::kPoured, made.row, PositionOf(made.row));
  event.onto_wine = onto;
  event.value = made.volume_ul;
  event.vessel = made.place;
  bool poured = false;
  ParcelId sole = kNone;
  bool several = false;
  for (const Movement* into : MovementsInto(parcel)) {
    const Movement& m = *into;
    if (m.commodity != kWine || m.from_parcel == made.before) continue;
    const bool from_vessel = m.from.kind() == Place::Kind::kVessel;
    // What comes back out of bottles is as new: nothing that was measured before is said of it.
    const bool delivered = m.from == Place::Outside(rundlet::v1::ACCOUNT_SOURCE) ||
                           m.from == Place::Outside(rundlet::v1::ACCOUNT_GLASS);
    if (!from_vessel && !delivered) continue;
    poured = true;
    event.sweetens |= onto && (delivered || m.amount > made.volume_ul / kTopping);
    several |= delivered || (sole != kNone && sole != m.from_parcel);
    if (from_vessel) sole = m.from_parcel;
  }
  if (poured || !onto) wine.events.push_back(event);
  if (made.before != kNone && !onto) CollectAt(made.before, event.position + 1, wine.events);
  if (onto) return made.before;
  wine.from_blend = several && sole != kNone;
  return several ? kNone : sole;
}

void WineIndex::FollowBack(ParcelId parcel, size_t end, Wine& wine) const {
  while (parcel != kNone) {
    CollectAt(parcel, end, wine.events);
    end = PositionOf(fold_.state().parcels()[parcel].row);
    parcel = CollectMaking(parcel, wine);
  }
  std::reverse(wine.events.begin(), wine.events.end());
  std::stable_sort(wine.events.begin(), wine.events.end(),
                   [](const WineEvent& a, const WineEvent& b) { return a.position < b.position; });
}

std::optional<Wine> WineIndex::InVessel(Handle vessel) const {
  const Holding& holding = fold_.state().holding(vessel);
  if (holding.volume_ul == 0 || holding.parcel == kNone) return std::nullopt;
  Wine wine{.thing = vessel,
            .volume_ul = holding.volume_ul,
            .lot = holding.lot,
            .row = holding.since,
            .doses = fold_.state().doses(holding)};
  FollowBack(holding.parcel, SIZE_MAX, wine);
  return wine;
}

std::vector<Wine> WineIndex::OfBottling(Handle bottling) const {
  std::vector<Wine> wines;
  for (const ParcelId id : RunsOf(bottling)) {
    const Parcel& run = fold_.state().parcels()[id];
    std::vector<ParcelId> sources;
    for (const Movement* m : MovementsInto(id)) {
      if (m->commodity == kWine) sources.push_back(m->from_parcel);
    }
    for (const ParcelId source : sources) {
      Wine wine{.thing = bottling,
                .bottled = true,
                .volume_ul = run.volume_ul,
                .lot = run.lot,
                .row = run.row,
                .doses = fold_.state().doses(run)};
      const size_t position = PositionOf(run.row);
      FollowBack(source, position, wine);
      wine.events.push_back(EventOf(WineEvent::Kind::kBottled, run.row, position));
      wine.events.back().vessel = fold_.state().parcels()[source].place;
      wines.push_back(std::move(wine));
    }
  }
  return wines;
}

std::vector<Handle> WineIndex::Bottlings() const {
  std::vector<Handle> bottlings;
  for (const auto& [bottling, runs] : runs_) bottlings.push_back(bottling);
  return bottlings;
}

}  // namespace rundlet::rules
