// What moves wine: receiving, transfers of every kind, additions, gauging.
#include <algorithm>

#include "core/entry/limits.h"
#include "core/fold/applier.h"

namespace rundlet {
// ---- building blocks ----

void Applier::Load(Handle vessel, Mix& mix) const { LoadFrom(state_.holding(vessel), mix); }

void Applier::Load(const Parcel& parcel, Mix& mix) const { LoadFrom(parcel, mix); }

template <typename Held>
void Applier::LoadFrom(const Held& held, Mix& mix) const {
  mix.Clear();
  mix.volume_ul = held.volume_ul;
  const auto origins = state_.origins(held);
  mix.origins.assign(origins.begin(), origins.end());
  const auto doses = state_.doses(held);
  mix.doses.assign(doses.begin(), doses.end());
}

ParcelId Applier::NewOrigin(v1::Account origin, Handle what, Handle lot, int64_t volume_ul) {
  return state_.Append(Parcel{.volume_ul = volume_ul,
                              .row = row_,
                              .ordinal = next_ordinal_++,
                              .origin = static_cast<uint16_t>(origin),
                              .place = what,
                              .lot = lot});
}

ParcelId Applier::Settle(Handle vessel, const Mix& mix, Handle lot, FactId facts) {
  const Holding before = state_.holding(vessel);
  const uint32_t at = state_.WriteShares(mix);
  const auto origin_count = static_cast<uint32_t>(mix.origins.size());
  const auto dose_count = static_cast<uint32_t>(mix.doses.size());
  const ParcelId parcel = state_.Append(Parcel{.volume_ul = mix.volume_ul,
                                               .row = row_,
                                               .ordinal = next_ordinal_++,
                                               .before = before.parcel,
                                               .place = vessel,
                                               .lot = lot,
                                               .shares_at = at,
                                               .origin_count = origin_count,
                                               .dose_count = dose_count});
  Move(kWine, before.volume_ul, Place::Vessel(vessel), Place::Vessel(vessel), before.parcel,
       parcel);
  state_.SetHolding(vessel, Holding{.volume_ul = mix.volume_ul,
                                    .parcel = parcel,
                                    .lot = lot,
                                    .shares_at = at,
                                    .origin_count = origin_count,
                                    .dose_count = dose_count,
                                    .facts = facts,
                                    .since = row_,
                                    .last_draw = before.last_draw});
  return parcel;
}

void Applier::Leave(Handle vessel, const Mix& left) {
  Holding holding = state_.holding(vessel);
  holding.volume_ul = left.volume_ul;
  holding.shares_at = state_.WriteShares(left);
  holding.origin_count = static_cast<uint32_t>(left.origins.size());
  holding.dose_count = static_cast<uint32_t>(left.doses.size());
  holding.since = row_;
  holding.last_draw = row_;
  if (left.empty()) {
    holding.parcel = kNone;
    holding.lot = kNoHandle;
    holding.facts = kNone;
  }
  state_.SetHolding(vessel, holding);
}

ParcelId Applier::Inflow(Handle vessel, v1::Account origin, Handle what, Handle lot,
                         int64_t volume_ul) {
  const ParcelId source = NewOrigin(origin, what, lot, volume_ul);
  const Holding before = state_.holding(vessel);
  Load(vessel, target_);
  target_.volume_ul += volume_ul;
  AddShare(target_.origins, source, volume_ul);
  const Handle keeps = before.volume_ul > 0 && before.lot != kNoHandle ? before.lot : lot;
  const ParcelId parcel = Settle(vessel, target_, keeps, before.facts);
  Move(kWine, volume_ul, Place::Outside(origin), Place::Vessel(vessel), source, parcel);
  return parcel;
}

// ---- receiving ----

void Applier::Receive(absl::Span<const Line> lines) {
  const Handle lot = FindLine(lines, Role::kLot)->handle;
  int64_t total_ul = 0;
  for (const Line& line : lines) {
    if (line.role != Role::kFill) continue;
    if (state_.holding(line.handle).volume_ul > kMaxHeldQuantity - line.amount) {
      HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, line.amount);
      return;
    }
    total_ul += line.amount;
  }
  // One delivery is one origin, however many vessels it was poured into.
  const ParcelId source = NewOrigin(v1::ACCOUNT_SOURCE, kNoHandle, lot, total_ul);
  for (const Line& line : lines) {
    if (line.role != Role::kFill) continue;
    const Holding before = state_.holding(line.handle);
    Load(line.handle, target_);
    target_.volume_ul += line.amount;
    AddShare(target_.origins, source, line.amount);
    const Handle keeps = before.volume_ul > 0 && before.lot != kNoHandle ? before.lot : lot;
    const ParcelId parcel = Settle(line.handle, target_, keeps, before.facts);
    Move(kWine, line.amount, Place::Outside(v1::ACCOUNT_SOURCE), Place::Vessel(line.handle), source,
         parcel);
  }
}

// ---- transfers ----

bool Applier::PlanDraws(absl::Span<const Line> lines, int64_t* drawn_ul) {
  plans_.clear();
  *drawn_ul = 0;
  for (const Line& line : lines) {
    if (line.role != Role::kDraw) continue;
    const Holding& holding = state_.holding(line.handle);
    if (holding.volume_ul == 0) {
      return HoldFor(v1::HELD_REASON_EMPTY_VESSEL, line.handle, line.amount, 0, holding.last_draw);
    }
    const int64_t take = line.whole ? holding.volume_ul : line.amount;
    const int64_t gain = std::max<int64_t>(0, take - holding.volume_ul);
    if (gain > state_.tolerance().For(holding.volume_ul)) {
      return HoldFor(v1::HELD_REASON_NOT_ENOUGH_WINE, line.handle, take, holding.volume_ul,
                     holding.last_draw);
    }
    plans_.push_back({line.handle, take, gain});
    *drawn_ul += take;
    if (*drawn_ul > kMaxHeldQuantity)
      return HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, *drawn_ul);
  }
  return true;
}

bool Applier::PlanOutputs(absl::Span<const Line> lines, int64_t drawn_ul, int64_t* rest_ul,
                          int64_t* unsaid_loss_ul) {
  int64_t given_ul = 0;
  bool has_rest = false;
  for (const Line& line : lines) {
    if (line.role == Role::kGlass) {
      given_ul += line.extra;
    } else if (line.role == Role::kFill || line.role == Role::kOutflow) {
      if (line.whole) {
        has_rest = true;
      } else {
        given_ul += line.amount;
      }
    }
  }
  Plan& largest = *std::max_element(plans_.begin(), plans_.end(), [](const Plan& a, const Plan& b) {
    return a.take_ul < b.take_ul;
  });
  const int64_t lacking = given_ul - drawn_ul;
  if (lacking > 0) {
    // What was measured on arrival is believed, within the tolerance: the largest source held more
    // than the book said.
    if (lacking + largest.gain_ul > state_.tolerance().For(drawn_ul)) {
      // Where the vessel has the wine it is the entry that contradicts itself.
      const bool in_vessel = state_.holding(largest.vessel).volume_ul >= largest.take_ul + lacking;
      return in_vessel ? HoldFor(v1::HELD_REASON_MORE_ARRIVED, largest.vessel, given_ul, drawn_ul)
                       : HoldFor(v1::HELD_REASON_NOT_ENOUGH_WINE, largest.vessel, given_ul,
                                 drawn_ul, state_.holding(largest.vessel).last_draw);
    }
    // A vessel that was drawn in part has the wine; one drawn to the end has more than the book
    // said.
    const int64_t in_book = state_.holding(largest.vessel).volume_ul;
    largest.take_ul += lacking;
    largest.gain_ul = std::max<int64_t>(0, largest.take_ul - in_book);
  }
  *rest_ul = has_rest ? std::max<int64_t>(0, -lacking) : 0;
  *unsaid_loss_ul = has_rest ? 0 : std::max<int64_t>(0, -lacking);
  for (const Line& line : lines) {
    if (line.role != Role::kFill) continue;
    const int64_t more = line.whole ? *rest_ul : line.amount;
    if (state_.holding(line.handle).volume_ul > kMaxHeldQuantity - more) {
      return HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, more);
    }
  }
  return true;
}

int64_t Applier::LargestDose(Handle vessel) const {
  int64_t largest = 0;
  for (const Share& dose : state_.doses(state_.holding(vessel)))
    largest = std::max(largest, dose.amount);
  return largest;
}

bool Applier::DrawnDosesFit(absl::Span<const Line> lines) {
  int64_t drawn = 0;
  for (const Plan& plan : plans_) {
    drawn += LargestDose(plan.vessel);
    if (drawn > kMaxHeldQuantity) return HoldFor(v1::HELD_REASON_TOO_MUCH, plan.vessel, drawn);
  }
  return DosesFit(lines, drawn);
}

bool Applier::DosesFit(absl::Span<const Line> lines, int64_t drawn) {
  for (const Line& line : lines) {
    if (line.role != Role::kFill) continue;
    const int64_t together = drawn + LargestDose(line.handle);
    if (together > kMaxHeldQuantity)
      return HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, together);
  }
  return true;
}

void Applier::Pool(Place from, ParcelId parcel) {
  const auto draw = static_cast<uint32_t>(source_parcels_.size());
  part_.sources.assign(1, Share{.amount = part_.volume_ul, .of = draw});
  source_parcels_.push_back(parcel);
  source_places_.push_back(from);
  Blend(pool_, part_);
}

void Applier::DrawAll() {
  pool_.Clear();
  source_parcels_.clear();
  source_places_.clear();
  int64_t largest_ul = -1;
  for (const Plan& plan : plans_) {
    if (plan.gain_ul > 0) {
      Inflow(plan.vessel, v1::ACCOUNT_GAIN, plan.vessel, state_.holding(plan.vessel).lot,
             plan.gain_ul);
    }
    const Holding holding = state_.holding(plan.vessel);
    if (plan.take_ul > largest_ul) {
      largest_ul = plan.take_ul;
      main_lot_ = holding.lot;
    }
    // What was measured of one wine says nothing of a blend.
    main_facts_ = plans_.size() == 1 ? holding.facts : kNone;
    Load(plan.vessel, left_);
    Pour(left_, plan.take_ul, part_);
    Pool(Place::Vessel(plan.vessel), holding.parcel);
    Leave(plan.vessel, left_);
  }
}

void Applier::MovePart(const Mix& part, Place to, ParcelId to_parcel) {
  for (const Share& share : part.sources) {
    Move(kWine, share.amount, source_places_[share.of], to, source_parcels_[share.of], to_parcel);
  }
}

void Applier::GiveOut(absl::Span<const Line> lines, int64_t rest_ul, int64_t unsaid_loss_ul) {
  const Line* lot = FindLine(lines, Role::kLot);
  for (const Line& line : lines) {
    if (line.role != Role::kFill && line.role != Role::kOutflow) continue;
    const int64_t volume_ul = line.whole ? rest_ul : line.amount;
    if (volume_ul == 0) continue;
    Pour(pool_, volume_ul, part_);
    if (line.role == Role::kOutflow) {
      MovePart(part_, Place::Outside(static_cast<v1::Account>(line.handle)), kNone);
      continue;
    }
    const Holding before = state_.holding(line.handle);
    Load(line.handle, target_);
    Blend(target_, part_);
    const bool was_empty = before.volume_ul == 0;
    const Handle keeps = lot != nullptr                         ? lot->handle
                         : was_empty || before.lot == kNoHandle ? main_lot_
                                                                : before.lot;
    const ParcelId parcel =
        Settle(line.handle, target_, keeps, was_empty ? main_facts_ : before.facts);
    MovePart(part_, Place::Vessel(line.handle), parcel);
  }
  if (unsaid_loss_ul > 0) {
    Pour(pool_, unsaid_loss_ul, part_);
    MovePart(part_, Place::Outside(v1::ACCOUNT_LOSS), kNone);
  }
}

void Applier::Transfer(absl::Span<const Line> lines) {
  int64_t drawn_ul = 0;
  int64_t rest_ul = 0;
  int64_t unsaid_loss_ul = 0;
  if (!PlanDraws(lines, &drawn_ul) || !PlanOutputs(lines, drawn_ul, &rest_ul, &unsaid_loss_ul) ||
      !DrawnDosesFit(lines))
    return;
  DrawAll();
  const ParcelId run = NewBottlingParcel(lines);
  for (const Line& line : lines) {
    if (line.role == Role::kGlass) PutIntoGlass(line, run);
    if (line.role == Role::kMaterial) UseMaterial(line, run);
  }
  GiveOut(lines, rest_ul, unsaid_loss_ul);
}

// ---- additions ----

void Applier::Add(absl::Span<const Line> lines) {
  const Handle vessel = lines[0].handle;
  int64_t more_ul = 0;
  for (const Line& line : lines.subspan(1)) more_ul += line.extra;
  if (state_.holding(vessel).volume_ul > kMaxHeldQuantity - more_ul) {
    HoldFor(v1::HELD_REASON_TOO_MUCH, vessel, more_ul);
    return;
  }
  const Holding before = state_.holding(vessel);
  Load(vessel, target_);
  for (const Line& line : lines.subspan(1)) {
    AddShare(target_.doses, line.other, line.amount);
    const auto dose =
        std::lower_bound(target_.doses.begin(), target_.doses.end(), line.other,
                         [](const Share& share, uint32_t of) { return share.of < of; });
    if (dose->amount > kMaxHeldQuantity) {
      HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, line.amount);
      return;
    }
  }
  // Volume that comes along is an origin of its own, so that the water in a wine can be told.
  auto source = static_cast<ParcelId>(state_.parcels().size());
  for (const Line& line : lines.subspan(1)) {
    if (line.extra == 0) continue;
    target_.volume_ul += line.extra;
    AddShare(target_.origins, NewOrigin(v1::ACCOUNT_ADDITION, line.handle, kNoHandle, line.extra),
             line.extra);
  }
  ParcelId parcel = before.parcel;
  if (more_ul > 0 || parcel == kNone) {
    parcel = Settle(vessel, target_, before.lot, before.facts);
    for (const Line& line : lines.subspan(1)) {
      if (line.extra == 0) continue;
      Move(kWine, line.extra, Place::Outside(v1::ACCOUNT_ADDITION), Place::Vessel(vessel), source++,
           parcel);
    }
  } else {
    Holding holding = before;
    holding.shares_at = state_.WriteShares(target_);
    holding.dose_count = static_cast<uint32_t>(target_.doses.size());
    holding.since = row_;
    state_.SetHolding(vessel, holding);
  }
  for (const Line& line : lines.subspan(1)) UseMaterial(line, parcel);
}

// ---- gauging ----

void Applier::Gauge(absl::Span<const Line> lines) {
  const Handle vessel = lines[0].handle;
  const int64_t found_ul = FindLine(lines, Role::kVolume)->amount;
  const auto cause = static_cast<v1::Account>(FindLine(lines, Role::kAccount)->handle);
  const Holding before = state_.holding(vessel);
  if (before.volume_ul == 0) {
    if (found_ul > 0) HoldFor(v1::HELD_REASON_EMPTY_VESSEL, vessel, found_ul, 0, before.last_draw);
    return;
  }
  if (found_ul > before.volume_ul) {
    Inflow(vessel, v1::ACCOUNT_GAIN, vessel, before.lot, found_ul - before.volume_ul);
  } else if (found_ul < before.volume_ul) {
    plans_.assign(1, Plan{vessel, before.volume_ul - found_ul, 0});
    DrawAll();
    MovePart(pool_, Place::Outside(cause), kNone);
    if (cause == v1::ACCOUNT_EVAPORATION && found_ul > 0) {
      // What was added does not evaporate: it stays behind, in less wine.
      Load(vessel, target_);
      for (const Share& dose : pool_.doses) AddShare(target_.doses, dose.of, dose.amount);
      Holding holding = state_.holding(vessel);
      holding.shares_at = state_.WriteShares(target_);
      holding.dose_count = static_cast<uint32_t>(target_.doses.size());
      state_.SetHolding(vessel, holding);
    }
  }
}

}  // namespace rundlet
