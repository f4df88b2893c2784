#include "tests/support/drafts.h"

#include <string>
#include <utility>

namespace rundlet::testing::draft {
namespace {

template <typename Field, typename Piece>
void CopyAll(const std::vector<Piece>& pieces, Field* field) {
  for (const Piece& piece : pieces) *field->Add() = piece;
}

void WriteTransfer(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                   const std::vector<v1::Outflow>& outflows, absl::string_view lot,
                   v1::Transfer* transfer) {
  CopyAll(draws, transfer->mutable_draws());
  CopyAll(fills, transfer->mutable_fills());
  CopyAll(outflows, transfer->mutable_outflows());
  if (!lot.empty()) transfer->set_lot_id(IdOf(lot).ToBytes());
}

v1::Entry Registered(v1::Thing thing, absl::string_view name) {
  v1::Entry entry;
  thing.set_thing_id(IdOf(name).ToBytes());
  *entry.mutable_registered() = std::move(thing);
  return entry;
}

}  // namespace

v1::Entry VesselRegistered(absl::string_view name, int64_t capacity_ul) {
  v1::Thing thing;
  thing.mutable_vessel()->set_name(std::string(name));
  if (capacity_ul > 0) thing.mutable_vessel()->set_capacity_ul(capacity_ul);
  return Registered(std::move(thing), name);
}

v1::Entry BinRegistered(absl::string_view name) {
  v1::Thing thing;
  thing.mutable_bin()->set_name(std::string(name));
  return Registered(std::move(thing), name);
}

v1::Entry LotRegistered(absl::string_view name) {
  v1::Thing thing;
  thing.mutable_lot()->set_name(std::string(name));
  return Registered(std::move(thing), name);
}

v1::Entry MaterialRegistered(absl::string_view name, v1::Dimension dimension) {
  v1::Thing thing;
  thing.mutable_material()->set_name(std::string(name));
  thing.mutable_material()->set_dimension(dimension);
  return Registered(std::move(thing), name);
}

v1::Entry MaterialLotRegistered(absl::string_view name, absl::string_view material) {
  v1::Thing thing;
  thing.mutable_material_lot()->set_name(std::string(name));
  thing.mutable_material_lot()->set_material_id(IdOf(material).ToBytes());
  return Registered(std::move(thing), name);
}

v1::Entry BottlingRegistered(absl::string_view name, absl::string_view lot) {
  v1::Thing thing;
  thing.mutable_bottling()->set_name(std::string(name));
  thing.mutable_bottling()->set_lot_id(IdOf(lot).ToBytes());
  return Registered(std::move(thing), name);
}

v1::Entry EquipmentRegistered(absl::string_view name) {
  v1::Thing thing;
  thing.mutable_equipment()->set_name(std::string(name));
  return Registered(std::move(thing), name);
}

v1::Entry VesselRenamed(absl::string_view name, absl::string_view new_name) {
  v1::Entry entry;
  entry.mutable_changed()->set_thing_id(IdOf(name).ToBytes());
  entry.mutable_changed()->mutable_vessel()->set_name(std::string(new_name));
  return entry;
}

v1::Entry Retired(absl::string_view name) {
  v1::Entry entry;
  entry.mutable_retired()->set_thing_id(IdOf(name).ToBytes());
  return entry;
}

v1::Entry ToleranceSet(std::optional<int64_t> ppm, std::optional<int64_t> ul) {
  v1::Entry entry;
  v1::SettingsChanged* settings = entry.mutable_settings_changed();
  if (ppm) settings->set_tolerance_ppm(*ppm);
  if (ul) settings->set_tolerance_ul(*ul);
  return entry;
}

v1::Entry WineReceived(absl::string_view lot, const std::vector<v1::Fill>& fills,
                       v1::InflowKind kind) {
  v1::Entry entry;
  v1::WineReceived* received = entry.mutable_wine_received();
  received->set_kind(kind);
  received->set_lot_id(IdOf(lot).ToBytes());
  CopyAll(fills, received->mutable_fills());
  return entry;
}

v1::Entry Racking(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                  const std::vector<v1::Outflow>& outflows, absl::string_view lot) {
  v1::Entry entry;
  WriteTransfer(draws, fills, outflows, lot, entry.mutable_racking());
  return entry;
}

v1::Entry Blend(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                absl::string_view lot) {
  v1::Entry entry;
  WriteTransfer(draws, fills, {}, lot, entry.mutable_blend());
  return entry;
}

v1::Entry Topping(const v1::Draw& draw, const std::vector<v1::Fill>& fills) {
  v1::Entry entry;
  WriteTransfer({draw}, fills, {}, "", entry.mutable_topping());
  return entry;
}

v1::Entry Pressing(const std::vector<v1::Draw>& draws, const std::vector<v1::Fill>& fills,
                   const std::vector<v1::Outflow>& outflows) {
  v1::Entry entry;
  WriteTransfer(draws, fills, outflows, "", entry.mutable_pressing());
  return entry;
}

v1::Entry Addition(absl::string_view vessel, const std::vector<v1::AdditionLine>& lines) {
  v1::Entry entry;
  entry.mutable_addition()->set_vessel_id(IdOf(vessel).ToBytes());
  CopyAll(lines, entry.mutable_addition()->mutable_lines());
  return entry;
}

v1::Entry Gauging(absl::string_view vessel, int64_t volume_ul, v1::Account cause) {
  v1::Entry entry;
  entry.mutable_gauging()->set_vessel_id(IdOf(vessel).ToBytes());
  entry.mutable_gauging()->set_volume_ul(volume_ul);
  entry.mutable_gauging()->set_cause(cause);
  return entry;
}

v1::Entry Withdrawal(const v1::Draw& draw, v1::Account account) {
  v1::Entry entry;
  *entry.mutable_withdrawal()->mutable_draw() = draw;
  entry.mutable_withdrawal()->set_account(account);
  return entry;
}

v1::Entry Reading(absl::string_view vessel, const std::vector<v1::Measurement>& measurements) {
  v1::Entry entry;
  entry.mutable_reading()->set_vessel_id(IdOf(vessel).ToBytes());
  CopyAll(measurements, entry.mutable_reading()->mutable_measurements());
  return entry;
}

v1::Entry Treatment(absl::string_view vessel, v1::TreatmentKind kind, int32_t duration_min) {
  v1::Entry entry;
  entry.mutable_treatment()->set_vessel_id(IdOf(vessel).ToBytes());
  entry.mutable_treatment()->set_kind(kind);
  entry.mutable_treatment()->set_duration_min(duration_min);
  return entry;
}

v1::Entry Sanitised(absl::string_view subject) {
  v1::Entry entry;
  entry.mutable_sanitised()->add_subject_ids(IdOf(subject).ToBytes());
  entry.mutable_sanitised()->set_agent("hot water");
  entry.mutable_sanitised()->set_contact_min(10);
  return entry;
}

v1::Entry Observation(absl::string_view subject, absl::string_view text) {
  v1::Entry entry;
  entry.mutable_observation()->set_subject_id(IdOf(subject).ToBytes());
  v1::Impression* impression = entry.mutable_observation()->add_impressions();
  impression->set_aspect(v1::ASPECT_CLARITY);
  impression->set_text(std::string(text));
  return entry;
}

v1::Entry Bottled(absl::string_view bottling, const std::vector<v1::Draw>& draws,
                  const std::vector<v1::BottleGroup>& groups,
                  const std::vector<v1::Outflow>& outflows,
                  const std::vector<v1::AdditionLine>& packaging) {
  v1::Entry entry;
  v1::Bottled* bottled = entry.mutable_bottled();
  bottled->set_bottling_id(IdOf(bottling).ToBytes());
  CopyAll(draws, bottled->mutable_draws());
  CopyAll(groups, bottled->mutable_groups());
  CopyAll(outflows, bottled->mutable_outflows());
  CopyAll(packaging, bottled->mutable_packaging());
  return entry;
}

v1::Entry BottlesMoved(const v1::Bottles& bottles, absl::string_view from, absl::string_view to) {
  v1::Entry entry;
  *entry.mutable_bottles_moved()->mutable_bottles() = bottles;
  entry.mutable_bottles_moved()->set_from_bin_id(IdOf(from).ToBytes());
  entry.mutable_bottles_moved()->set_to_bin_id(IdOf(to).ToBytes());
  return entry;
}

v1::Entry BottlesTaken(const v1::Bottles& bottles, absl::string_view from, v1::Account account) {
  v1::Entry entry;
  *entry.mutable_bottles_taken()->mutable_bottles() = bottles;
  entry.mutable_bottles_taken()->set_from_bin_id(IdOf(from).ToBytes());
  entry.mutable_bottles_taken()->set_account(account);
  return entry;
}

v1::Entry BottlesFinished(const v1::Bottles& bottles, v1::Account account) {
  v1::Entry entry;
  *entry.mutable_bottles_taken()->mutable_bottles() = bottles;
  entry.mutable_bottles_taken()->set_opened(true);
  entry.mutable_bottles_taken()->set_account(account);
  return entry;
}

v1::Entry BottlesEmptied(const v1::Bottles& bottles, absl::string_view from,
                         const std::vector<v1::Fill>& fills,
                         const std::vector<v1::Outflow>& outflows) {
  v1::Entry entry;
  v1::BottlesEmptied& emptied = *entry.mutable_bottles_emptied();
  *emptied.mutable_bottles() = bottles;
  emptied.set_from_bin_id(IdOf(from).ToBytes());
  emptied.mutable_fills()->Assign(fills.begin(), fills.end());
  emptied.mutable_outflows()->Assign(outflows.begin(), outflows.end());
  return entry;
}

v1::Entry BottlesReturned(const v1::Bottles& bottles, absl::string_view to, v1::Account account) {
  v1::Entry entry;
  *entry.mutable_bottles_returned()->mutable_bottles() = bottles;
  entry.mutable_bottles_returned()->set_to_bin_id(IdOf(to).ToBytes());
  entry.mutable_bottles_returned()->set_account(account);
  return entry;
}

v1::Entry BinCounted(absl::string_view bin, const std::vector<v1::Bottles>& bottles, bool adopted) {
  v1::Entry entry;
  entry.mutable_bin_counted()->set_bin_id(IdOf(bin).ToBytes());
  CopyAll(bottles, entry.mutable_bin_counted()->mutable_bottles());
  entry.mutable_bin_counted()->set_adopted(adopted);
  return entry;
}

v1::Entry MaterialReceived(absl::string_view material_lot, const v1::Amount& amount) {
  v1::Entry entry;
  entry.mutable_material_received()->set_material_lot_id(IdOf(material_lot).ToBytes());
  *entry.mutable_material_received()->mutable_amount() = amount;
  return entry;
}

v1::Entry MaterialCounted(absl::string_view material_lot, const v1::Amount& amount, bool adopted) {
  v1::Entry entry;
  entry.mutable_material_counted()->set_material_lot_id(IdOf(material_lot).ToBytes());
  *entry.mutable_material_counted()->mutable_amount() = amount;
  entry.mutable_material_counted()->set_adopted(adopted);
  return entry;
}

v1::Entry Void(const Uuid& target) {
  v1::Entry entry;
  entry.mutable_void_()->set_target_id(target.ToBytes());
  return entry;
}

}  // namespace rundlet::testing::draft
