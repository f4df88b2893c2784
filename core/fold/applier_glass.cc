// Wine into bottles, and out of them again.
#include <algorithm>
#include <vector>

#include "core/entry/limits.h"
#include "core/fold/applier.h"

namespace rundlet {

ParcelId Applier::NewBottlingParcel(absl::Span<const Line> lines) {
  const Line* bottling = FindLine(lines, Role::kBottling);
  if (bottling == nullptr) return kNone;
  int64_t glass_ul = 0;
  for (const Line& line : lines) {
    if (line.role == Role::kGlass) glass_ul += line.extra;
  }
  Pour(pool_, glass_ul, part_);
  const ParcelId parcel =
      state_.Append(Parcel{.volume_ul = glass_ul,
                           .row = row_,
                           .ordinal = next_ordinal_++,
                           .place = bottling->handle,
                           .lot = main_lot_,
                           .shares_at = state_.WriteShares(part_),
                           .origin_count = static_cast<uint32_t>(part_.origins.size()),
                           .dose_count = static_cast<uint32_t>(part_.doses.size())});
  MovePart(part_, Place::Outside(v1::ACCOUNT_GLASS), parcel);
  return parcel;
}

void Applier::PutIntoGlass(const Line& line, ParcelId run) {
  Move(line.other, line.amount, Place::Outside(v1::ACCOUNT_GLASS), Place::Bin(line.handle), run,
       kNone);
  Deposit(Place::Bin(line.handle), line.other, line.amount);
}

std::vector<Applier::Session> Applier::SessionsOf(Handle bottling) const {
  std::vector<Session> sessions;
  for (ParcelId id = state_.last_at(bottling); id != kNone;
       id = state_.parcels()[id].earlier_here) {
    // What was found in its bottles beyond their size arose there too, and is no session.
    const Parcel& parcel = state_.parcels()[id];
    if (parcel.origin != 0) continue;
    Session session{.parcel = id, .left_ul = parcel.volume_ul};
    for (uint32_t i = parcel.last_from; i != kNone; i = state_.movements()[i].earlier_from)
      session.left_ul -= state_.movements()[i].amount;
    sessions.push_back(session);
  }
  std::reverse(sessions.begin(), sessions.end());
  return sessions;
}

void Applier::DrawRun(Handle bottling, int64_t volume_ul) {
  pool_.Clear();
  source_parcels_.clear();
  source_places_.clear();
  main_lot_ = kNoHandle;
  main_facts_ = kNone;  // what was measured before the bottles lay is not said of it now
  const std::vector<Session> sessions = SessionsOf(bottling);
  int64_t run_ul = 0;
  for (const Session& session : sessions) run_ul += session.left_ul;
  int64_t left_ul = std::min(volume_ul, run_ul);
  for (const Session& session : sessions) {
    if (session.left_ul == 0) continue;
    const Parcel parcel = state_.parcels()[session.parcel];
    main_lot_ = parcel.lot;
    const int64_t take_ul = Scale(left_ul, session.left_ul, run_ul).whole;
    run_ul -= session.left_ul;
    left_ul -= take_ul;
    if (take_ul == 0) continue;
    Load(parcel, left_);
    Pour(left_, take_ul, part_);
    Pool(Place::Outside(v1::ACCOUNT_GLASS), session.parcel);
  }
}

void Applier::EmptyBottles(absl::Span<const Line> lines) {
  const Line& bottles = lines[0];
  const Place bin = Place::Bin(bottles.handle);
  const Handle bottling = FindLine(lines, Role::kBottling)->handle;
  if (!HasBottles(bottles, bin)) return;
  int64_t given_ul = 0;
  const Line* rest = nullptr;
  for (const Line& line : lines) {
    if (line.role != Role::kFill && line.role != Role::kOutflow) continue;
    if (line.whole) rest = &line;
    given_ul += line.whole ? 0 : line.amount;
  }
  DrawRun(bottling, bottles.extra);
  if (pool_.volume_ul == 0) {  // bottles that a count found, and no wine that went into them
    HoldFor(v1::HELD_REASON_NOT_ENOUGH_WINE, bottling, bottles.extra, 0);
    return;
  }
  // Bottles hold about what is printed on them; what is measured on arrival is believed.
  const int64_t more_ul = std::max<int64_t>(0, given_ul - pool_.volume_ul);
  if (more_ul > state_.tolerance().For(pool_.volume_ul)) {
    HoldFor(v1::HELD_REASON_MORE_ARRIVED, bottling, given_ul, pool_.volume_ul);
    return;
  }
  const int64_t rest_ul = std::max<int64_t>(0, pool_.volume_ul - given_ul);
  for (const Line& line : lines) {
    if (line.role != Role::kFill) continue;
    const int64_t volume_ul = line.whole ? rest_ul : line.amount;
    if (state_.holding(line.handle).volume_ul > kMaxHeldQuantity - volume_ul) {
      HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, volume_ul);
      return;
    }
  }
  int64_t largest_dose = 0;
  for (const Share& dose : pool_.doses) largest_dose = std::max(largest_dose, dose.amount);
  if (!DosesFit(lines, largest_dose)) return;
  if (more_ul > 0) {
    const ParcelId gain = NewOrigin(v1::ACCOUNT_GAIN, bottling, main_lot_, more_ul);
    part_.Clear();
    part_.volume_ul = more_ul;
    AddShare(part_.origins, gain, more_ul);
    Pool(Place::Outside(v1::ACCOUNT_GAIN), gain);
  }
  Move(bottles.other, bottles.amount, bin, Place::Outside(v1::ACCOUNT_GLASS));
  Withdraw(bin, bottles.other, bottles.amount);
  GiveOut(lines, rest != nullptr ? rest_ul : 0, rest != nullptr ? 0 : rest_ul);
}

}  // namespace rundlet
