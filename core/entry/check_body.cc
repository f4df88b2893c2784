#include "core/entry/check_body.h"

#include <algorithm>
#include <optional>
#include <set>
#include <string>

#include "absl/strings/str_cat.h"
#include "core/entry/check.h"
#include "core/entry/check_identity.h"
#include "core/entry/check_record.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"

namespace rundlet {
namespace {

// What wine may be booked to when it leaves a vessel other than into a vessel or a bottle.
bool IsWineOutflow(v1::Account account) {
  switch (account) {
    case v1::ACCOUNT_LOSS:
    case v1::ACCOUNT_LEES:
    case v1::ACCOUNT_EVAPORATION:
    case v1::ACCOUNT_SAMPLE:
    case v1::ACCOUNT_SPILL:
    case v1::ACCOUNT_DUMP:
    case v1::ACCOUNT_SERVED:
    case v1::ACCOUNT_SOLD:
    case v1::ACCOUNT_GIFT:
    case v1::ACCOUNT_SHARE:
    case v1::ACCOUNT_DONATED:
      return true;
    default:
      return false;
  }
}

bool IsBottleOutflow(v1::Account account) {
  return account == v1::ACCOUNT_BREAKAGE || account == v1::ACCOUNT_SAMPLE ||
         account == v1::ACCOUNT_DUMP || account == v1::ACCOUNT_LOSS ||
         account == v1::ACCOUNT_OPENED ||
         (account >= v1::ACCOUNT_SERVED && account <= v1::ACCOUNT_DONATED);
}

void CheckAmount(Checker& check, const v1::Amount& amount) {
  check.Need(amount.dimension() >= v1::DIMENSION_MASS && amount.dimension() <= v1::DIMENSION_COUNT,
             "an amount by mass, volume or count");
  check.NeedAmount(amount.base(), kMaxAmount, "an amount");
}

void CheckDraws(Checker& check, const google::protobuf::RepeatedPtrField<v1::Draw>& draws) {
  check.Need(draws.size() >= 1 && draws.size() <= kMaxLines,
             "at least one vessel to draw from, at most 256");
  std::set<absl::string_view> seen;
  for (const v1::Draw& draw : draws) {
    check.NeedId(draw.vessel_id(), "the vessel drawn from");
    check.Need(seen.insert(draw.vessel_id()).second, "each vessel drawn from only once");
    if (draw.how_much_case() == v1::Draw::kAll) {
      check.Need(draw.all(), "'all' to be said or left out");
    } else {
      check.NeedAmount(draw.volume_ul(), kMaxVolumeUl, "a drawn volume, in microlitres,");
    }
  }
}

void CheckOutflows(Checker& check, const google::protobuf::RepeatedPtrField<v1::Outflow>& outflows,
                   int* rests) {
  check.Need(outflows.size() <= kMaxLines, "at most 256 outflows");
  for (const v1::Outflow& outflow : outflows) {
    check.Need(IsWineOutflow(outflow.account()), "an outflow to lees, loss, sample or the like");
    if (outflow.how_much_case() == v1::Outflow::kRest) {
      check.Need(outflow.rest(), "'rest' to be said or left out");
      ++*rests;
    } else {
      check.NeedAmount(outflow.volume_ul(), kMaxVolumeUl, "an outflow, in microlitres,");
    }
  }
}

void CheckTemperature(Checker& check, int32_t millic) {
  check.Need(millic >= kMinTemperatureMillic && millic <= kMaxTemperatureMillic,
             "a temperature from -50 to 200 C");
}

void CheckCost(Checker& check, int64_t cents) {
  check.AtMost(cents, kMaxCents, "a cost, in cents,");
}

void CheckFills(Checker& check, const google::protobuf::RepeatedPtrField<v1::Fill>& fills,
                int* rests) {
  check.Need(fills.size() >= 1 && fills.size() <= kMaxLines,
             "at least one vessel to fill, at most 256");
  std::set<absl::string_view> seen;
  for (const v1::Fill& fill : fills) {
    check.NeedId(fill.vessel_id(), "the vessel filled");
    check.Need(seen.insert(fill.vessel_id()).second, "each vessel filled only once");
    if (fill.how_much_case() == v1::Fill::kRest) {
      check.Need(fill.rest(), "'rest' to be said or left out");
      ++*rests;
    } else {
      check.NeedAmount(fill.volume_ul(), kMaxVolumeUl, "a filled volume, in microlitres,");
    }
  }
}

void CheckTransfer(Checker& check, const v1::Transfer& transfer) {
  CheckDraws(check, transfer.draws());
  int rests = 0;
  CheckFills(check, transfer.fills(), &rests);
  CheckOutflows(check, transfer.outflows(), &rests);
  check.Need(rests <= 1, "at most one place for the rest");
  check.OptionalId(transfer.lot_id(), "the lot");
  for (const std::string& id : transfer.equipment_ids()) check.NeedId(id, "the equipment");
}

void CheckAdditionLine(Checker& check, const v1::AdditionLine& line) {
  check.Need(line.what_case() != v1::AdditionLine::WHAT_NOT_SET, "what was added");
  check.NeedId(line.what_case() == v1::AdditionLine::kMaterialLotId ? line.material_lot_id()
                                                                    : line.material_id(),
               "what was added");
  CheckAmount(check, line.amount());
  check.AtMost(line.volume_effect_ul(), kMaxVolumeUl, "a volume effect, in microlitres,");
  check.AtMost(line.mixed_in_ul(), line.volume_effect_ul(),
               "water to stir it into that is a part of the volume effect");
  CheckTemperature(check, line.mixed_at_millic());
}

// Names are printed on terminals, one a line.
void CheckName(Checker& check, absl::string_view name, absl::string_view what) {
  const auto is_control = [](unsigned char c) { return c < 0x20 || c == 0x7f; };
  if (name.size() > kMaxNameBytes)
    check.Need(false, absl::StrCat(what, " of at most ", kMaxNameBytes, " bytes"));
  if (std::any_of(name.begin(), name.end(), is_control))
    check.Need(false, absl::StrCat(what, " without control characters"));
}

void CheckThing(Checker& check, const v1::Thing& thing, bool registering) {
  check.NeedId(thing.thing_id(), "the thing");
  const auto name_of = [](const auto& attributes) -> std::optional<std::string> {
    if (!attributes.has_name()) return std::nullopt;
    return attributes.name();
  };
  std::optional<std::string> name;
  switch (thing.kind_case()) {
    case v1::Thing::kVessel:
      name = name_of(thing.vessel());
      check.AtMost(thing.vessel().capacity_ul(), kMaxVolumeUl, "a capacity, in microlitres,");
      break;
    case v1::Thing::kEquipment:
      name = name_of(thing.equipment());
      break;
    case v1::Thing::kMaterial:
      name = name_of(thing.material());
      check.AtMost(thing.material().volume_effect_ul(), 1'000'000,
                   "a volume effect, in microlitres a unit,");
      check.AtMost(thing.material().so2_ppm(), 1'000'000, "an SO2 content, in millionths,");
      check.AtMost(thing.material().unit_mass_ug(), kMaxAmount,
                   "the mass of a unit, in micrograms,");
      check.AtMost(thing.material().keep_base(), kMaxAmount, "an amount to keep on hand");
      CheckTemperature(check, thing.material().coldest_millic());
      CheckTemperature(check, thing.material().warmest_millic());
      break;
    case v1::Thing::kMaterialLot:
      name = name_of(thing.material_lot());
      check.OptionalId(thing.material_lot().material_id(), "the material");
      break;
    case v1::Thing::kBin:
      name = name_of(thing.bin());
      check.AtMost(thing.bin().capacity_bottles(), kMaxBottles, "a capacity, in bottles,");
      check.OptionalId(thing.bin().inside_id(), "the bin that it is a part of");
      check.Need(thing.bin().inside_id() != thing.thing_id() || thing.thing_id().empty(),
                 "a bin other than itself to be a part of");
      break;
    case v1::Thing::kMember:
      name = name_of(thing.member());
      break;
    case v1::Thing::kLot:
      name = name_of(thing.lot());
      break;
    case v1::Thing::kBottling:
      name = name_of(thing.bottling());
      check.OptionalId(thing.bottling().lot_id(), "the lot");
      break;
    case v1::Thing::KIND_NOT_SET:
      check.Need(false, "the kind of thing");
      break;
  }
  check.Need(name ? !name->empty() : !registering, "a name");
  if (name) CheckName(check, *name, "a name");
}

void CheckBottles(Checker& check, const v1::Bottles& bottles, bool zero_is_fine) {
  check.NeedId(bottles.bottling_id(), "the bottling");
  check.NeedAmount(bottles.size_ul(), kMaxVolumeUl, "a bottle size, in microlitres,");
  if (zero_is_fine) {
    check.AtMost(bottles.count(), kMaxBottles, "a number of bottles");
  } else {
    check.NeedAmount(bottles.count(), kMaxBottles, "a number of bottles");
  }
}

void CheckBottled(Checker& check, const v1::Bottled& bottled) {
  check.NeedId(bottled.bottling_id(), "the bottling");
  CheckDraws(check, bottled.draws());
  int rests = 0;
  CheckOutflows(check, bottled.outflows(), &rests);
  check.Need(rests <= 1, "at most one place for the rest");
  check.Need(bottled.groups_size() >= 1 && bottled.groups_size() <= kMaxLines,
             "bottles, in at most 256 groups");
  for (const v1::BottleGroup& group : bottled.groups()) {
    check.NeedAmount(group.size_ul(), 1'000'000'000, "a bottle size, in microlitres,");
    check.NeedAmount(group.count(), kMaxBottles, "a number of bottles");
    check.AtMost(group.fill_ul(), 1'000'000'000, "a fill, in microlitres,");
    if (!check.status().ok()) return;
    check.Need(group.count() <= kMaxVolumeUl / std::max(group.size_ul(), group.fill_ul()),
               "no more wine in its bottles than 100,000 m3");
    check.NeedId(group.bin_id(), "the bin");
  }
  check.Need(bottled.packaging_size() <= kMaxLines, "at most 256 lines of packaging");
  for (const v1::AdditionLine& line : bottled.packaging()) CheckAdditionLine(check, line);
}

void CheckTaken(Checker& check, const v1::BottlesTaken& taken) {
  CheckBottles(check, taken.bottles(), false);
  if (taken.opened()) {
    check.Need(taken.from_bin_id().empty(), "no bin: opened bottles lie in none");
    check.Need(taken.account() != v1::ACCOUNT_OPENED, "what became of the opened bottles");
  } else {
    check.NeedId(taken.from_bin_id(), "the bin");
  }
  check.Need(IsBottleOutflow(taken.account()), "a reason: served, sold, gift, breakage ...");
  check.OptionalId(taken.member_id(), "whose share it is");
  check.AtMost(taken.left_ul(), kMaxVolumeUl, "what is left in them, in microlitres,");
}

void CheckEmptied(Checker& check, const v1::BottlesEmptied& emptied) {
  CheckBottles(check, emptied.bottles(), false);
  if (!check.status().ok()) return;
  check.Need(emptied.bottles().count() <= kMaxVolumeUl / emptied.bottles().size_ul(),
             "no more wine in its bottles than 100,000 m3");
  check.NeedId(emptied.from_bin_id(), "the bin");
  int rests = 0;
  CheckFills(check, emptied.fills(), &rests);
  CheckOutflows(check, emptied.outflows(), &rests);
  check.Need(rests <= 1, "at most one place for the rest");
  check.OptionalId(emptied.lot_id(), "the lot");
}

void CheckReading(Checker& check, const v1::Reading& reading) {
  check.NeedId(reading.vessel_id(), "the vessel");
  check.OptionalId(reading.equipment_id(), "the instrument");
  check.Need(reading.measurements_size() >= 1 && reading.measurements_size() <= kMaxLines,
             "a measured value");
  for (const v1::Measurement& m : reading.measurements()) {
    check.Need(m.kind() != v1::READING_KIND_UNSPECIFIED && v1::ReadingKind_IsValid(m.kind()),
               "what was measured");
    check.Need(m.unit() != v1::READING_UNIT_UNSPECIFIED && v1::ReadingUnit_IsValid(m.unit()),
               "the unit as read");
    check.Need(m.value_micro() >= -kMaxReadingMicro && m.value_micro() <= kMaxReadingMicro,
               "a value within reason");
  }
}

void CheckSettings(Checker& check, const v1::SettingsChanged& settings) {
  check.AtMost(settings.tolerance_ppm(), kMaxTolerancePpm, "a tolerance, in millionths,");
  check.AtMost(settings.tolerance_ul(), kMaxVolumeUl, "a tolerance, in microlitres,");
  CheckName(check, settings.cellar_name(), "a cellar name");
  check.Need(settings.jurisdictions().codes_size() <= 32, "at most 32 jurisdictions");
  check.Need(settings.currency().empty() || settings.currency().size() == 3,
             "a currency of three letters");
}

void CheckMoreKinds(Checker& check, const v1::Entry& entry) {
  switch (entry.body_case()) {
    case v1::Entry::kReading:
      CheckReading(check, entry.reading());
      break;
    case v1::Entry::kTreatment:
      check.NeedId(entry.treatment().vessel_id(), "the vessel");
      check.Need(entry.treatment().kind() != v1::TREATMENT_KIND_UNSPECIFIED &&
                     v1::TreatmentKind_IsValid(entry.treatment().kind()),
                 "the kind of treatment");
      check.AtMost(entry.treatment().duration_min(), kMaxDurationMin, "a duration, in minutes,");
      for (const std::string& id : entry.treatment().equipment_ids())
        check.NeedId(id, "the equipment");
      break;
    case v1::Entry::kObservation:
      check.NeedId(entry.observation().subject_id(), "what was observed");
      check.Need(entry.observation().impressions_size() <= kMaxLines, "at most 256 impressions");
      break;
    case v1::Entry::kBottled:
      CheckBottled(check, entry.bottled());
      break;
    case v1::Entry::kBottlesMoved:
      CheckBottles(check, entry.bottles_moved().bottles(), false);
      check.NeedId(entry.bottles_moved().from_bin_id(), "the bin moved from");
      check.NeedId(entry.bottles_moved().to_bin_id(), "the bin moved to");
      break;
    case v1::Entry::kBottlesTaken:
      CheckTaken(check, entry.bottles_taken());
      break;
    case v1::Entry::kBottlesReturned:
      CheckBottles(check, entry.bottles_returned().bottles(), false);
      check.NeedId(entry.bottles_returned().to_bin_id(), "the bin");
      check.Need(IsBottleOutflow(entry.bottles_returned().account()) &&
                     entry.bottles_returned().account() != v1::ACCOUNT_OPENED,
                 "where they come back from");
      break;
    case v1::Entry::kBottlesEmptied:
      CheckEmptied(check, entry.bottles_emptied());
      break;
    case v1::Entry::kBinCounted: {
      check.NeedId(entry.bin_counted().bin_id(), "the bin");
      check.Need(entry.bin_counted().bottles_size() >= 1 &&
                     entry.bin_counted().bottles_size() <= kMaxLines,
                 "at least one line counted, at most 256");
      std::set<std::pair<absl::string_view, int64_t>> seen;
      for (const v1::Bottles& bottles : entry.bin_counted().bottles()) {
        CheckBottles(check, bottles, true);
        check.Need(seen.emplace(bottles.bottling_id(), bottles.size_ul()).second,
                   "each bottling and size counted only once");
      }
      break;
    }
    case v1::Entry::kMaterialCounted:
      check.NeedId(entry.material_counted().material_lot_id(), "the material lot");
      check.Need(entry.material_counted().amount().dimension() != v1::DIMENSION_UNSPECIFIED &&
                     v1::Dimension_IsValid(entry.material_counted().amount().dimension()),
                 "an amount by mass, volume or count");
      check.AtMost(entry.material_counted().amount().base(), kMaxAmount, "an amount");
      break;
    case v1::Entry::kVoid:
      check.NeedId(entry.void_().target_id(), "the voided entry");
      check.Need(entry.void_().target_id() != entry.entry_id(), "a voided entry other than itself");
      break;
    default:
      check.Need(CheckRecord(check, entry) || CheckIdentity(check, entry), "a kind");
      break;
  }
}

}  // namespace

absl::Status CheckBody(const v1::Entry& entry) {
  Checker check(KindName(entry));
  if (entry.has_anyway()) CheckAnyway(check, entry.anyway());
  switch (entry.body_case()) {
    case v1::Entry::kSettingsChanged:
      CheckSettings(check, entry.settings_changed());
      break;
    case v1::Entry::kRegistered:
      CheckThing(check, entry.registered(), true);
      break;
    case v1::Entry::kChanged:
      CheckThing(check, entry.changed(), false);
      break;
    case v1::Entry::kRetired:
      check.NeedId(entry.retired().thing_id(), "the thing");
      break;
    case v1::Entry::kMaterialReceived:
      check.NeedId(entry.material_received().material_lot_id(), "the material lot");
      CheckAmount(check, entry.material_received().amount());
      CheckCost(check, entry.material_received().cost_cents());
      break;
    case v1::Entry::kWineReceived: {
      const v1::WineReceived& received = entry.wine_received();
      check.Need(
          received.kind() != v1::INFLOW_KIND_UNSPECIFIED && v1::InflowKind_IsValid(received.kind()),
          "what came in");
      check.NeedId(received.lot_id(), "the lot");
      check.AtMost(received.fruit_mass_ug(), kMaxAmount, "a mass of fruit, in micrograms,");
      CheckCost(check, received.cost_cents());
      check.Need(received.fills_size() >= 1 && received.fills_size() <= kMaxLines,
                 "at least one vessel to fill, at most 256");
      std::set<absl::string_view> seen;
      for (const v1::Fill& fill : received.fills()) {
        check.NeedId(fill.vessel_id(), "the vessel filled");
        check.Need(seen.insert(fill.vessel_id()).second, "each vessel filled only once");
        check.NeedAmount(fill.volume_ul(), kMaxVolumeUl, "a measured volume, in microlitres,");
      }
      break;
    }
    case v1::Entry::kAddition:
      check.NeedId(entry.addition().vessel_id(), "the vessel");
      check.Need(entry.addition().lines_size() >= 1 && entry.addition().lines_size() <= kMaxLines,
                 "something added, in at most 256 lines");
      for (const v1::AdditionLine& line : entry.addition().lines()) CheckAdditionLine(check, line);
      break;
    case v1::Entry::kRacking:
      CheckTransfer(check, entry.racking());
      break;
    case v1::Entry::kBlend:
      CheckTransfer(check, entry.blend());
      break;
    case v1::Entry::kTopping:
      CheckTransfer(check, entry.topping());
      break;
    case v1::Entry::kPressing:
      CheckTransfer(check, entry.pressing());
      break;
    case v1::Entry::kGauging:
      check.NeedId(entry.gauging().vessel_id(), "the vessel");
      check.AtMost(entry.gauging().volume_ul(), kMaxVolumeUl, "a volume, in microlitres,");
      check.Need(entry.gauging().cause() == v1::ACCOUNT_UNSPECIFIED ||
                     IsWineOutflow(entry.gauging().cause()),
                 "a cause that wine can be lost to");
      break;
    case v1::Entry::kWithdrawal: {
      google::protobuf::RepeatedPtrField<v1::Draw> draws;
      *draws.Add() = entry.withdrawal().draw();
      CheckDraws(check, draws);
      check.Need(IsWineOutflow(entry.withdrawal().account()),
                 "a reason: sample, spill, dump, served ...");
      break;
    }
    default:
      CheckMoreKinds(check, entry);
      break;
  }
  return check.status();
}

}  // namespace rundlet
