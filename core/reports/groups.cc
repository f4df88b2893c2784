#include "core/reports/groups.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/reports/names.h"

namespace rundlet::reports {

std::string ClassOfLot(const Fold& fold, Handle lot) {
  const Directory::Known* known = fold.directory().Find(lot);
  if (known == nullptr) return "class not said";
  const v1::Lot& said = known->thing.lot();
  std::vector<std::string> words;
  if (!said.colour().empty()) words.push_back(said.colour());
  if (!said.style().empty()) words.push_back(said.style());
  if (said.vintage() > 0) words.push_back(absl::StrCat(said.vintage()));
  return words.empty() ? "class not said" : absl::StrJoin(words, ", ");
}

Groups::Groups(const Fold& fold, RegisterBy by) : fold_(fold), by_(by) {
  groups_.push_back({.name = by == RegisterBy::kVessel ? "in no vessel" : "no lot"});
  const Log<Parcel>& parcels = fold.state().parcels();
  for (ParcelId id = 0; id < parcels.size(); ++id) {
    if (parcels[id].origin == 0 && fold.directory().kind(parcels[id].place) == v1::Thing::kBottling)
      lot_of_run_.try_emplace(parcels[id].place, parcels[id].lot);
  }
}

Group Groups::OfThing(Handle thing, Place::Kind kind) {
  const uint64_t key = static_cast<uint64_t>(kind) << 32 | thing;
  const auto [it, fresh] = of_thing_.try_emplace(key, static_cast<Group>(groups_.size()));
  if (fresh) {
    groups_.push_back({.name = kind == Place::Kind::kOutside
                                   ? "opened"
                                   : fold_.directory().NameOf(thing, fold_.sequence()),
                       .thing = thing});
  }
  return it->second;
}

Group Groups::OfLot(Handle lot) {
  if (lot == kNoHandle) return kNothing;
  if (by_ == RegisterBy::kLot) return OfThing(lot, Place::Kind::kVessel);
  // Each lot is looked up once; lots of one class share its group.
  const auto known = of_thing_.find(lot);
  if (known != of_thing_.end()) return known->second;
  const std::string name = ClassOfLot(fold_, lot);
  const auto [it, fresh] = of_class_.try_emplace(name, static_cast<Group>(groups_.size()));
  if (fresh) groups_.push_back({.name = name});
  of_thing_.emplace(lot, it->second);
  return it->second;
}

Group Groups::OfWine(Place place, ParcelId parcel) {
  if (by_ == RegisterBy::kVessel) {
    return place.kind() == Place::Kind::kVessel ? OfThing(place.handle(), Place::Kind::kVessel)
                                                : kNothing;
  }
  return parcel == kNone ? kNothing : OfLot(fold_.state().parcels()[parcel].lot);
}

Handle Groups::LotOfRun(Handle bottling) const {
  const auto filled = lot_of_run_.find(bottling);
  if (filled != lot_of_run_.end() && filled->second != kNoHandle) return filled->second;
  return LotOfBottling(fold_, bottling);
}

Group Groups::OfBottles(Place place, Commodity bottles) {
  if (by_ == RegisterBy::kVessel)
    return OfThing(place.kind() == Place::Kind::kBin ? place.handle() : kNoHandle, place.kind());
  return OfLot(LotOfRun(fold_.commodities().info(bottles).handle));
}

}  // namespace rundlet::reports
