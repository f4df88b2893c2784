#include "core/fold/applier.h"

#include <algorithm>

#include "core/entry/limits.h"

namespace rundlet {
namespace {

// What kind of thing a line must name; KIND_NOT_SET: none.
v1::Thing::KindCase NamedKind(const Line& line) {
  switch (line.role) {
    case Role::kVessel:
    case Role::kDraw:
    case Role::kFill:
      return v1::Thing::kVessel;
    case Role::kLot:
      return v1::Thing::kLot;
    case Role::kBottling:
      return v1::Thing::kBottling;
    case Role::kGlass:
    case Role::kBottles:
    case Role::kToBin:
      return v1::Thing::kBin;
    case Role::kMaterial:
      return line.whole ? v1::Thing::kMaterialLot : v1::Thing::kMaterial;
    default:
      return v1::Thing::KIND_NOT_SET;
  }
}

}  // namespace

void Applier::Hold(RowId row, v1::HeldReason reason) {
  row_ = row;
  HoldFor(reason, kNoHandle);
}

bool Applier::HoldFor(v1::HeldReason reason, Handle subject, int64_t needed, int64_t there,
                      RowId taken_by) {
  state_.Append(Held{.needed = needed,
                     .there = there,
                     .row = row_,
                     .subject = subject,
                     .taken_by = taken_by,
                     .reason = reason});
  return false;
}

bool Applier::AllKnown(absl::Span<const Line> lines) {
  for (const Line& line : lines) {
    const auto needed = NamedKind(line);
    if (needed == v1::Thing::KIND_NOT_SET && line.role != Role::kSubject) continue;
    const auto kind = directory_.kind(line.handle);
    if (kind == v1::Thing::KIND_NOT_SET) return HoldFor(v1::HELD_REASON_UNKNOWN_THING, line.handle);
    if (kind != needed && line.role != Role::kSubject)
      return HoldFor(v1::HELD_REASON_WRONG_THING, line.handle);
  }
  return true;
}

void Applier::Apply(RowId row, ActKind kind, absl::Span<const Line> lines) {
  row_ = row;
  next_ordinal_ = 0;
  if (!AllKnown(lines)) return;
  switch (kind) {
    case ActKind::kUnknown:
    case ActKind::kDirectory:
    case ActKind::kVoid:
    case ActKind::kRecord:
      break;
    case ActKind::kSettings:
      Settings(lines[0]);
      break;
    case ActKind::kReceive:
      Receive(lines);
      break;
    case ActKind::kTransfer:
      Transfer(lines);
      break;
    case ActKind::kAdd:
      Add(lines);
      break;
    case ActKind::kGauge:
      Gauge(lines);
      break;
    case ActKind::kStockIn:
      StockIn(lines[0]);
      break;
    case ActKind::kStockCount:
      StockCount(lines);
      break;
    case ActKind::kBottlesMove:
      TakeBottles(lines[0], Place::Bin(lines[0].handle), Place::Bin(lines[1].handle));
      break;
    case ActKind::kBottlesTake:
      TakeBottles(lines[0], Place::Bin(lines[0].handle),
                  Place::Outside(static_cast<v1::Account>(lines[1].handle)));
      break;
    case ActKind::kBottlesFinish:
      TakeBottles(lines[0], Place::Outside(v1::ACCOUNT_OPENED),
                  Place::Outside(static_cast<v1::Account>(lines[1].handle)));
      break;
    case ActKind::kBottlesEmpty:
      EmptyBottles(lines);
      break;
    case ActKind::kGaugeNote:
      AppendFact({.value = FindLine(lines, Role::kVolume)->amount -
                           state_.holding(lines[0].handle).volume_ul,
                  .subject = lines[0].handle,
                  .type = FactType::kVolumeCount},
                 false);
      break;
    case ActKind::kBottlesReturn:
      Move(lines[0].other, lines[0].amount,
           Place::Outside(static_cast<v1::Account>(lines[1].handle)), Place::Bin(lines[0].handle));
      Deposit(Place::Bin(lines[0].handle), lines[0].other, lines[0].amount);
      break;
    case ActKind::kBinCount:
      BinCount(lines);
      break;
    case ActKind::kRead:
      Read(lines);
      break;
    case ActKind::kTreat:
      Treat(lines);
      break;
    case ActKind::kObserve:
      AppendFact({.subject = lines[0].handle, .type = FactType::kObservation},
                 state_.holding(lines[0].handle).volume_ul > 0);
      break;
  }
}

// ---- bookkeeping ----

void Applier::Move(Commodity commodity, int64_t amount, Place from, Place to, ParcelId from_parcel,
                   ParcelId to_parcel) {
  if (amount == 0) return;
  state_.Append(Movement{.amount = amount,
                         .commodity = commodity,
                         .from = from,
                         .to = to,
                         .from_parcel = from_parcel,
                         .to_parcel = to_parcel,
                         .row = row_});
}

int64_t Applier::BalanceOf(Place place, Commodity commodity) const {
  const Balance* balance = state_.FindBalance(place, commodity);
  return balance == nullptr ? 0 : balance->amount;
}

void Applier::Deposit(Place place, Commodity commodity, int64_t amount) {
  const Balance* balance = state_.FindBalance(place, commodity);
  state_.SetBalance(place, commodity, (balance == nullptr ? 0 : balance->amount) + amount,
                    balance == nullptr ? kNone : balance->last_out);
}

void Applier::Withdraw(Place place, Commodity commodity, int64_t amount) {
  state_.SetBalance(place, commodity, BalanceOf(place, commodity) - amount, row_);
}

void Applier::AppendFact(Fact fact, bool of_the_wine) {
  fact.row = row_;
  if (!of_the_wine) {
    state_.Append(fact);
    return;
  }
  Holding holding = state_.holding(fact.subject);
  fact.parcel = holding.parcel;
  fact.previous = holding.facts;
  holding.facts = state_.Append(fact);
  state_.SetHolding(fact.subject, holding);
}

void Applier::Settings(const Line& line) {
  Tolerance tolerance = state_.tolerance();
  if (line.amount >= 0) tolerance.ppm = line.amount;
  if (line.extra >= 0) tolerance.ul = line.extra;
  state_.SetTolerance(tolerance);
}

// ---- facts ----

void Applier::Read(absl::Span<const Line> lines) {
  const Handle vessel = lines[0].handle;
  if (state_.holding(vessel).volume_ul == 0) {
    HoldFor(v1::HELD_REASON_EMPTY_VESSEL, vessel, 0, 0, state_.holding(vessel).last_draw);
    return;
  }
  for (const Line& line : lines) {
    if (line.role != Role::kMeasure) continue;
    AppendFact({.value = line.amount,
                .subject = vessel,
                .type = FactType::kReading,
                .kind = line.handle,
                .unit = line.other},
               true);
  }
}

void Applier::Treat(absl::Span<const Line> lines) {
  const Handle vessel = lines[0].handle;
  if (state_.holding(vessel).volume_ul == 0) {
    HoldFor(v1::HELD_REASON_EMPTY_VESSEL, vessel, 0, 0, state_.holding(vessel).last_draw);
    return;
  }
  const Line* treatment = FindLine(lines, Role::kTreatment);
  AppendFact({.value = treatment->amount,
              .subject = vessel,
              .type = FactType::kTreatment,
              .kind = treatment->handle},
             true);
}

// ---- store and bins ----

void Applier::StockIn(const Line& line) {
  if (BalanceOf(Place::Stock(), line.other) > kMaxHeldQuantity - line.amount) {
    HoldFor(v1::HELD_REASON_TOO_MUCH, line.handle, line.amount);
    return;
  }
  Move(line.other, line.amount, Place::Outside(v1::ACCOUNT_SOURCE), Place::Stock());
  Deposit(Place::Stock(), line.other, line.amount);
}

void Applier::UseMaterial(const Line& line, ParcelId to_parcel) {
  const Place used = Place::Outside(v1::ACCOUNT_USED);
  if (!line.whole) {  // nobody keeps stock of it
    Move(line.other, line.amount, Place::Outside(v1::ACCOUNT_SOURCE), used, kNone, to_parcel);
    return;
  }
  const int64_t lacking = line.amount - BalanceOf(Place::Stock(), line.other);
  if (lacking > 0) {
    Move(line.other, lacking, Place::Outside(v1::ACCOUNT_GAIN), Place::Stock());
    Deposit(Place::Stock(), line.other, lacking);
  }
  Move(line.other, line.amount, Place::Stock(), used, kNone, to_parcel);
  Withdraw(Place::Stock(), line.other, line.amount);
}

void Applier::StockCount(absl::Span<const Line> lines) {
  const Line& line = lines[0];
  const int64_t book = BalanceOf(Place::Stock(), line.other);
  AppendFact({.value = line.amount - book,
              .subject = line.handle,
              .type = FactType::kStockCount,
              .kind = line.other},
             false);
  if (FindLine(lines, Role::kAdopted) == nullptr) return;
  const Place counted = Place::Outside(v1::ACCOUNT_COUNTED);
  if (line.amount > book) {
    Move(line.other, line.amount - book, counted, Place::Stock());
    Deposit(Place::Stock(), line.other, line.amount - book);
  } else if (line.amount < book) {
    Move(line.other, book - line.amount, Place::Stock(), counted);
    Withdraw(Place::Stock(), line.other, book - line.amount);
  }
}

bool Applier::HasBottles(const Line& line, Place from) {
  const Balance* balance = state_.FindBalance(from, line.other);
  const int64_t there = balance == nullptr ? 0 : balance->amount;
  if (there < line.amount) {
    return HoldFor(v1::HELD_REASON_NOT_ENOUGH_BOTTLES, line.handle, line.amount, there,
                   balance == nullptr ? kNone : balance->last_out);
  }
  return true;
}

void Applier::TakeBottles(const Line& line, Place from, Place to) {
  if (!HasBottles(line, from)) return;
  Move(line.other, line.amount, from, to);
  Withdraw(from, line.other, line.amount);
  // Outside nothing is counted, but for the bottles that stand opened.
  if (to.kind() == Place::Kind::kBin || to == Place::Outside(v1::ACCOUNT_OPENED))
    Deposit(to, line.other, line.amount);
}

void Applier::BinCount(absl::Span<const Line> lines) {
  const bool adopted = FindLine(lines, Role::kAdopted) != nullptr;
  const Place counted = Place::Outside(v1::ACCOUNT_COUNTED);
  for (const Line& line : lines) {
    if (line.role != Role::kBottles) continue;
    const Place bin = Place::Bin(line.handle);
    const int64_t book = BalanceOf(bin, line.other);
    AppendFact({.value = line.amount - book,
                .subject = line.handle,
                .type = FactType::kBinCount,
                .kind = line.other},
               false);
    if (!adopted) continue;
    if (line.amount > book) {
      Move(line.other, line.amount - book, counted, bin);
      Deposit(bin, line.other, line.amount - book);
    } else if (line.amount < book) {
      Move(line.other, book - line.amount, bin, counted);
      Withdraw(bin, line.other, book - line.amount);
    }
  }
}

}  // namespace rundlet
