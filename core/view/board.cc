#include "core/view/board.h"

#include <algorithm>
#include <tuple>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wine_story.h"

namespace rundlet {
namespace {

std::string IdText(const Fold& fold, Handle handle) {
  return handle == kNoHandle ? "" : fold.interner().id(handle).ToString();
}

std::string Name(const Fold& fold, Handle handle) {
  return fold.directory().NameOf(handle, fold.sequence());
}

void SetDose(const Fold& fold, const Share& dose, v1::DoseLine& line) {
  const CommodityInfo& info = fold.commodities().info(dose.of);
  line.mutable_amount()->set_dimension(static_cast<v1::Dimension>(info.measure));
  line.mutable_amount()->set_base(dose.amount);
  line.set_name(Name(fold, info.handle));
  const Directory::Known* known = fold.directory().Find(info.handle);
  if (known != nullptr && known->thing.has_material_lot()) {
    line.set_material_lot_id(IdText(fold, info.handle));
    if (const auto id = Uuid::FromBytes(known->thing.material_lot().material_id()); id.ok()) {
      line.set_material_id(id->ToString());
    }
  } else {
    line.set_material_id(IdText(fold, info.handle));
  }
}

std::string DescribeOrigin(const Fold& fold, const Parcel& origin) {
  switch (origin.origin) {
    case v1::ACCOUNT_SOURCE:
      return Name(fold, origin.lot);
    case v1::ACCOUNT_ADDITION:
      return Name(fold, origin.place);
    default:
      return absl::StrCat(AccountWord(static_cast<v1::Account>(origin.origin)), " in ",
                          Name(fold, origin.place));
  }
}

}  // namespace

std::string ParcelName(const Fold& fold, ParcelId parcel) {
  if (parcel == kNone) return "";
  const Parcel& p = fold.state().parcels()[parcel];
  return absl::StrCat(fold.sequence().row(p.row).id.ToString(), "/", p.ordinal);
}

std::vector<v1::ReadingLine> LatestReadings(const Fold& fold, Handle vessel) {
  std::vector<v1::ReadingLine> readings;
  for (const KnownReading& reading : LatestOfEachKind(fold, vessel)) {
    const Row& row = fold.sequence().row(reading.row);
    v1::ReadingLine& line = readings.emplace_back();
    line.set_kind(reading.kind);
    line.set_unit(reading.unit);
    line.set_value_micro(reading.value_micro);
    line.set_at_us(row.effective_at_us);
    line.set_utc_offset_min(row.utc_offset_min);
    line.set_entry_id(row.id.ToString());
  }
  std::sort(readings.begin(), readings.end(),
            [](const auto& a, const auto& b) { return a.kind() < b.kind(); });
  return readings;
}

v1::VesselLine MakeVesselLine(const Fold& fold, Handle vessel) {
  v1::VesselLine line;
  line.set_vessel_id(IdText(fold, vessel));
  line.set_name(Name(fold, vessel));
  if (const Directory::Known* known = fold.directory().Find(vessel); known != nullptr) {
    line.set_capacity_ul(known->thing.vessel().capacity_ul());
    line.set_kind(known->thing.vessel().kind());
    line.set_location(known->thing.vessel().location());
    line.set_retired(known->retired);
  }
  const Holding& holding = fold.state().holding(vessel);
  line.set_volume_ul(holding.volume_ul);
  if (holding.since != kNone) line.set_since_us(fold.sequence().row(holding.since).effective_at_us);
  line.set_lot_id(IdText(fold, holding.lot));
  line.set_lot_name(Name(fold, holding.lot));
  line.set_parcel(ParcelName(fold, holding.parcel));
  for (v1::ReadingLine& reading : LatestReadings(fold, vessel)) line.add_readings()->Swap(&reading);
  for (const Share& dose : fold.state().doses(holding)) SetDose(fold, dose, *line.add_doses());
  std::sort(line.mutable_doses()->begin(), line.mutable_doses()->end(),
            [](const auto& a, const auto& b) {
              const auto key = [](const v1::DoseLine& d) {
                return std::tie(d.name(), d.material_id(), d.material_lot_id());
              };
              if (key(a) != key(b)) return key(a) < key(b);
              return a.amount().dimension() < b.amount().dimension();
            });
  for (const Share& share : fold.state().origins(holding)) {
    v1::ShareLine& origin = *line.add_origins();
    origin.set_parcel(ParcelName(fold, share.of));
    origin.set_description(DescribeOrigin(fold, fold.state().parcels()[share.of]));
    origin.set_volume_ul(share.amount);
  }
  return line;
}

std::vector<v1::BottleLine> BottlesAt(const Fold& fold, Place place) {
  std::vector<v1::BottleLine> lines;
  for (const Balance& balance : fold.state().balances()) {
    if (balance.place != place || balance.amount == 0) continue;
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    v1::BottleLine& bottles = lines.emplace_back();
    bottles.set_bottling_id(IdText(fold, info.handle));
    bottles.set_bottling_name(Name(fold, info.handle));
    bottles.set_size_ul(info.measure);
    bottles.set_count(balance.amount);
    if (const Directory::Known* known = fold.directory().Find(info.handle); known != nullptr) {
      bottles.set_lot_code(known->thing.bottling().lot_code());
      bottles.set_lot_name(NameOf(fold, HandleOf(fold, known->thing.bottling().lot_id())));
    }
  }
  std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
    if (a.bottling_name() != b.bottling_name()) return a.bottling_name() < b.bottling_name();
    return a.size_ul() != b.size_ul() ? a.size_ul() < b.size_ul()
                                      : a.bottling_id() < b.bottling_id();
  });
  return lines;
}

v1::BinLine MakeBinLine(const Fold& fold, Handle bin) {
  v1::BinLine line;
  line.set_bin_id(IdText(fold, bin));
  line.set_name(Name(fold, bin));
  for (v1::BottleLine& bottles : BottlesAt(fold, Place::Bin(bin)))
    *line.add_bottles() = std::move(bottles);
  return line;
}

v1::StockLine MakeStockLine(const Fold& fold, Handle material_lot) {
  v1::StockLine line;
  line.set_material_lot_id(IdText(fold, material_lot));
  line.set_name(Name(fold, material_lot));
  if (const Directory::Known* known = fold.directory().Find(material_lot); known != nullptr) {
    const v1::MaterialLot& lot = known->thing.material_lot();
    line.set_supplier_lot(lot.supplier_lot());
    line.set_expires_on(lot.expires_on());
    if (const auto id = Uuid::FromBytes(lot.material_id()); id.ok()) {
      line.set_material_id(id->ToString());
      line.set_material_name(Name(fold, fold.interner().Find(*id)));
    }
  }
  for (const Balance& balance : fold.state().balances()) {
    const CommodityInfo& info = fold.commodities().info(balance.commodity);
    if (balance.place != Place::Stock() || info.handle != material_lot || balance.amount == 0)
      continue;
    // Where one packet is in stock by weight and by the piece, the same one is shown everywhere.
    if (line.has_amount() && line.amount().dimension() < info.measure) continue;
    line.mutable_amount()->set_dimension(static_cast<v1::Dimension>(info.measure));
    line.mutable_amount()->set_base(balance.amount);
  }
  return line;
}

v1::Board MakeBoard(const Fold& fold, const BoardOptions& options) {
  v1::Board board;
  board.set_cellar_name(fold.directory().settings().cellar_name());
  board.set_entries(fold.sequence().size());
  board.set_held(fold.state().held().size());
  if (options.with_digest) board.set_digest(absl::BytesToHexString(HashBytes(fold.StateDigest())));
  for (const Handle vessel : ThingsByName(fold, v1::Thing::kVessel, true)) {
    const bool retired = fold.directory().Find(vessel)->retired;
    if (retired && !options.with_retired && fold.state().holding(vessel).volume_ul == 0) continue;
    *board.add_vessels() = MakeVesselLine(fold, vessel);
  }
  for (const Handle bin : ThingsByName(fold, v1::Thing::kBin, true)) {
    v1::BinLine line = MakeBinLine(fold, bin);
    if (line.bottles_size() > 0) board.add_bins()->Swap(&line);
  }
  for (const Handle lot : ThingsByName(fold, v1::Thing::kMaterialLot, true)) {
    v1::StockLine line = MakeStockLine(fold, lot);
    if (line.amount().base() > 0) board.add_stock()->Swap(&line);
  }
  return board;
}

}  // namespace rundlet
