#include "client/commands/lot_notes.h"

#include <algorithm>
#include <set>

#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

// The lot that a vessel holds where the change will be filed; nil if none.
Uuid LotIn(const Planner& planner, const Uuid& vessel) {
  const Fold& then = planner.moment().fold();
  const Holding& holding = then.state().holding(then.interner().Find(vessel));
  return holding.volume_ul == 0 ? Uuid() : then.interner().id(holding.lot);
}

struct Drawn {
  Uuid main_lot;  // that of the largest draw, which the book gives to what was empty
  std::set<Uuid> lots;
};

Drawn LotsDrawn(const Planner& planner, const v1::Transfer& transfer) {
  Drawn drawn;
  int64_t largest_ul = -1;
  for (const v1::Draw& draw : transfer.draws()) {
    const Uuid vessel = *Uuid::FromBytes(draw.vessel_id());
    const Uuid lot = LotIn(planner, vessel);
    if (lot.is_nil()) continue;
    const int64_t volume_ul = draw.all() ? planner.moment().VolumeOf(vessel) : draw.volume_ul();
    if (volume_ul > largest_ul) drawn.main_lot = lot;
    largest_ul = std::max(largest_ul, volume_ul);
    drawn.lots.insert(lot);
  }
  return drawn;
}

}  // namespace

void NoteLotsOfTransfer(const Planner& planner, const v1::Transfer& transfer, Change& change) {
  if (!transfer.lot_id().empty()) return;
  const Drawn drawn = LotsDrawn(planner, transfer);
  if (drawn.lots.empty()) return;
  for (const v1::Fill& fill : transfer.fills()) {
    const Uuid vessel = *Uuid::FromBytes(fill.vessel_id());
    const Uuid before = LotIn(planner, vessel);
    std::set<Uuid> mixed = drawn.lots;
    if (!before.is_nil()) mixed.insert(before);
    if (mixed.size() < 2) continue;
    change.warnings.push_back(
        absl::StrCat("different lots come together in ", planner.NameOf(vessel), ", and it ",
                     before.is_nil() ? "becomes" : "stays", " the lot '",
                     planner.NameOf(before.is_nil() ? drawn.main_lot : before),
                     "'. To call it otherwise, amend this with --lot NAME"));
  }
}

void NoteLotsOfDelivery(const Planner& planner, const v1::WineReceived& received, Change& change) {
  for (const v1::Fill& fill : received.fills()) {
    const Uuid vessel = *Uuid::FromBytes(fill.vessel_id());
    const Uuid before = LotIn(planner, vessel);
    if (before.is_nil() || before.bytes() == received.lot_id()) continue;
    const std::string name = planner.NameOf(vessel);
    change.warnings.push_back(
        absl::StrCat(name, " holds the lot '", planner.NameOf(before),
                     "' and stays that lot; the other name is kept for what came in. Another "
                     "lot for all of it begins with a transfer, as in: rundlet rack ",
                     name, " VESSEL --lot NAME"));
  }
}

}  // namespace rundlet::client
