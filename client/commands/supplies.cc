#include "client/commands/supplies.h"

#include <set>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/cli/table.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

void AddDelivery(const Fold& fold, RowId id, const v1::WineReceived& received, Supplies& supplies) {
  const Row& row = fold.sequence().row(id);
  int64_t volume_ul = 0;
  for (const v1::Fill& fill : received.fills()) volume_ul += fill.volume_ul();
  supplies.deliveries.push_back(
      {.row = id,
       .entry_id = row.id.ToString(),
       .when = {.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min},
       .what = std::string(InflowWord(received.kind())),
       .volume_ul = volume_ul,
       .lot = NameOf(fold, HandleOf(fold, received.lot_id())),
       .supplier = received.supplier(),
       .supplier_lot = received.supplier_lot()});
}

}  // namespace

absl::StatusOr<Supplies> FindSupplies(Cellar& cellar, absl::string_view word) {
  const Fold& fold = *cellar.fold;
  const auto meant = [word](const std::string& supplier, const std::string& supplier_lot) {
    return !word.empty() &&
           (absl::EqualsIgnoreCase(supplier, word) || absl::EqualsIgnoreCase(supplier_lot, word));
  };
  Supplies supplies;
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const RowId id = fold.sequence().at(position);
    const Row& row = fold.sequence().row(id);
    if (row.body != v1::Entry::kWineReceivedFieldNumber || row.standing != Row::Standing::kCounts ||
        fold.HeldAt(position) != nullptr)
      continue;
    const auto entry = EntryOfRow(cellar, id);
    if (!entry.ok()) return entry.status();
    const v1::WineReceived& received = entry->wine_received();
    if (meant(received.supplier(), received.supplier_lot()))
      AddDelivery(fold, id, received, supplies);
  }
  for (const Handle handle : ThingsByName(fold, v1::Thing::kMaterialLot, true)) {
    const v1::MaterialLot& packet = fold.directory().Find(handle)->thing.material_lot();
    if (!meant(packet.supplier(), packet.supplier_lot())) continue;
    supplies.packets.push_back({.thing = handle,
                                .name = packet.name(),
                                .material = NameOf(fold, HandleOf(fold, packet.material_id())),
                                .supplier = packet.supplier(),
                                .supplier_lot = packet.supplier_lot()});
  }
  return supplies;
}

absl::StatusOr<Meant> FindMeant(Cellar& cellar, absl::string_view word) {
  const Fold& fold = *cellar.fold;
  const auto thing = FindAnything(fold, word);
  if (thing.ok() && absl::EqualsIgnoreCase(NameOf(fold, *thing), word))
    return Meant{.thing = *thing, .supplies = {}};
  auto supplies = FindSupplies(cellar, word);
  if (!supplies.ok()) return supplies.status();
  const size_t found = supplies->deliveries.size() + supplies->packets.size();
  if (found > (thing.ok() ? 1u : 0u)) return Meant{.supplies = *std::move(supplies)};
  if (!thing.ok()) return thing.status();
  return Meant{.thing = *thing, .supplies = {}};
}

std::string TextOfSupplies(const Supplies& supplies, size_t width) {
  Table deliveries({"Came in", ">Volume", "When", "Lot", "Supplier", "Supplier's lot"});
  std::set<std::string> lots;
  for (const Supplies::Delivery& d : supplies.deliveries) {
    deliveries.Add(
        {d.what, FormatVolume(d.volume_ul), FormatWhen(d.when), d.lot, d.supplier, d.supplier_lot});
    lots.insert(d.lot);
  }
  Table packets({"Packet", "Material", "Supplier", "Supplier's lot"});
  for (const Supplies::Packet& p : supplies.packets)
    packets.Add({p.name, p.material, p.supplier, p.supplier_lot});
  std::string text = deliveries.empty() ? "" : deliveries.Print(width);
  if (!packets.empty()) absl::StrAppend(&text, text.empty() ? "" : "\n", packets.Print(width));
  absl::StrAppend(&text, "\nWhere it went:\n");
  for (const std::string& lot : lots)
    absl::StrAppend(&text, "  rundlet trace forward 'lot:", lot, "'\n");
  for (const Supplies::Packet& p : supplies.packets)
    absl::StrAppend(&text, "  rundlet trace forward 'packet:", p.name, "'\n");
  return text;
}

std::string JsonOfSupplies(const Supplies& supplies) {
  std::vector<std::string> deliveries, packets;
  for (const Supplies::Delivery& d : supplies.deliveries) {
    deliveries.push_back(JsonObject()
                             .Text("entry_id", d.entry_id)
                             .Text("effective_at", FormatWhenIso(d.when))
                             .Text("kind", d.what)
                             .Number("volume_ul", d.volume_ul)
                             .Text("lot", d.lot)
                             .Text("supplier", d.supplier)
                             .Text("supplier_lot", d.supplier_lot)
                             .Finish());
  }
  for (const Supplies::Packet& p : supplies.packets) {
    packets.push_back(JsonObject()
                          .Text("packet", p.name)
                          .Text("material", p.material)
                          .Text("supplier", p.supplier)
                          .Text("supplier_lot", p.supplier_lot)
                          .Finish());
  }
  return JsonObject()
      .Raw("deliveries", JsonArray(deliveries))
      .Raw("packets", JsonArray(packets))
      .Finish();
}

}  // namespace rundlet::client
