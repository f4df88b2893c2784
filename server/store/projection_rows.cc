#include "server/store/projection_rows.h"

#include <algorithm>

#include "server/store/thing_json.h"
#include "server/store/words.h"

namespace rundlet::server {
namespace {

// The tables whose rows are made by one entry each.
constexpr Table kHistory[] = {Table::kParcel,    Table::kMovement,     Table::kReading,
                              Table::kTreatment, Table::kObservation,  Table::kCountResult,
                              Table::kHeld,      Table::kEntryStanding};

absl::string_view CommodityWord(CommodityInfo::Kind kind) {
  switch (kind) {
    case CommodityInfo::Kind::kWine:
      return "wine";
    case CommodityInfo::Kind::kMaterial:
      return "material";
    case CommodityInfo::Kind::kBottles:
      return "bottles";
  }
  return "";
}

absl::string_view PlaceWord(Place::Kind kind) {
  switch (kind) {
    case Place::Kind::kOutside:
      return "outside";
    case Place::Kind::kVessel:
      return "vessel";
    case Place::Kind::kBin:
      return "bin";
    case Place::Kind::kStock:
      return "stock";
  }
  return "";
}

std::vector<PgArray> ArraysFor(absl::Span<const Column> columns) {
  std::vector<PgArray> arrays;
  for (const Column& column : columns) arrays.emplace_back(column.type);
  return arrays;
}

}  // namespace

TableRows::TableRows(const TableSpec& spec)
    : columns(ArraysFor(spec.columns)), gone(ArraysFor(spec.columns.subspan(0, spec.key_columns))) {
  if (!spec.has_composition) return;
  for (const Column& column : kBounds) columns.emplace_back(column.type);
  composition = ArraysFor(kComposition);
}

// Writes one row, column by column in the order of the table's spec.
class ProjectionRows::RowWriter {
 public:
  RowWriter(const Fold& fold, TableRows& rows) : fold_(fold), rows_(rows) {}

  RowWriter& Id(const Uuid& id) {
    Next().AddUuidOrNull(id);
    return *this;
  }
  RowWriter& Thing(Handle handle) { return Id(fold_.interner().id(handle)); }
  RowWriter& Entry(RowId row) { return Id(row == kNone ? Uuid() : fold_.sequence().row(row).id); }
  RowWriter& Int(int64_t value) {
    Next().AddInt(value);
    return *this;
  }
  RowWriter& Bool(bool value) {
    Next().AddBool(value);
    return *this;
  }
  RowWriter& Text(absl::string_view text) {
    Next().AddText(text);
    return *this;
  }
  RowWriter& Null() {
    Next().AddNull();
    return *this;
  }
  RowWriter& ParcelName(ParcelId parcel) {
    if (parcel == kNone) return Null().Null();
    const rundlet::Parcel& p = fold_.state().parcels()[parcel];
    return Entry(p.row).Int(p.ordinal);
  }
  RowWriter& What(Commodity commodity) {
    const CommodityInfo& info = fold_.commodities().info(commodity);
    return Text(CommodityWord(info.kind)).Thing(info.handle).Int(info.measure);
  }
  RowWriter& Where(Place place) {
    Text(PlaceWord(place.kind()));
    if (place.kind() == Place::Kind::kOutside) return Null().Text(WordOf(place.account()));
    return Thing(place.kind() == Place::Kind::kStock ? kNoHandle : place.handle()).Null();
  }
  void Composition(absl::Span<const Share> origins, absl::Span<const Share> doses);

 private:
  PgArray& Next() { return rows_.columns[next_++]; }

  const Fold& fold_;
  TableRows& rows_;
  size_t next_ = 0;
};

void ProjectionRows::RowWriter::Composition(absl::Span<const Share> origins,
                                            absl::Span<const Share> doses) {
  std::vector<PgArray>& all = rows_.composition;
  // PostgreSQL counts from 1; an end before the beginning is an empty array.
  const auto share_end = static_cast<int64_t>(all[0].size() + origins.size());
  const auto dose_end = static_cast<int64_t>(all[kShareColumns].size() + doses.size());
  Int(static_cast<int64_t>(all[0].size()) + 1).Int(share_end);
  Int(static_cast<int64_t>(all[kShareColumns].size()) + 1).Int(dose_end);
  for (const Share& share : origins) {
    const rundlet::Parcel& origin = fold_.state().parcels()[share.of];
    all[0].AddUuid(fold_.sequence().row(origin.row).id);
    all[1].AddInt(origin.ordinal);
    all[2].AddInt(share.amount);
  }
  // The fold numbers commodities by arrival; here they stand by their ids.
  std::vector<Share> sorted(doses.begin(), doses.end());
  const auto key = [this](const Share& share) {
    const CommodityInfo& info = fold_.commodities().info(share.of);
    return std::pair(fold_.interner().id(info.handle), info.measure);
  };
  std::sort(sorted.begin(), sorted.end(),
            [&key](const Share& a, const Share& b) { return key(a) < key(b); });
  for (const Share& dose : sorted) {
    const CommodityInfo& info = fold_.commodities().info(dose.of);
    all[3].AddUuid(fold_.interner().id(info.handle));
    all[4].AddInt(info.measure);
    all[5].AddInt(dose.amount);
  }
}

ProjectionRows::ProjectionRows(const Fold& fold) : fold_(fold) {
  for (size_t i = 0; i < kTableCount; ++i) tables_.emplace_back(SpecOf(static_cast<Table>(i)));
}

void ProjectionRows::Clear() {
  for (TableRows& rows : tables_) {
    for (auto* arrays : {&rows.columns, &rows.composition, &rows.gone}) {
      for (PgArray& array : *arrays) array.Clear();
    }
  }
  count_ = 0;
}

ProjectionRows::RowWriter ProjectionRows::NewRow(Table table) {
  ++count_;
  return RowWriter(fold_, tables_[static_cast<size_t>(table)]);
}

Uuid ProjectionRows::EntryId(RowId row) const { return fold_.sequence().row(row).id; }

void ProjectionRows::AddEntry(RowId row, bool may_exist) {
  const Uuid id = EntryId(row);
  if (may_exist) {
    for (const Table table : kHistory) tables_[static_cast<size_t>(table)].gone[0].AddUuid(id);
  }
  const Row& entry = fold_.sequence().row(row);
  if (entry.standing == Row::Standing::kVoid) {
    NewRow(Table::kEntryStanding).Id(id).Text("void").Entry(entry.voided_by);
  } else if (entry.standing == Row::Standing::kSuperseded) {
    NewRow(Table::kEntryStanding).Id(id).Text("superseded").Null();
  }
  const size_t position = fold_.sequence().PositionOf(row);
  for (const Parcel& parcel : fold_.ParcelsAt(position)) AddParcel(id, parcel);
  int64_t ordinal = 0;
  for (const Movement& movement : fold_.MovementsAt(position)) AddMovement(id, ordinal++, movement);
  ordinal = 0;
  for (const Fact& fact : fold_.FactsAt(position)) AddFact(id, ordinal++, fact);
  if (const Held* held = fold_.HeldAt(position); held != nullptr) {
    NewRow(Table::kHeld)
        .Id(id)
        .Text(WordOf(held->reason))
        .Thing(held->subject)
        .Int(held->needed)
        .Int(held->there)
        .Entry(held->taken_by);
  }
}

void ProjectionRows::AddParcel(const Uuid& entry_id, const Parcel& parcel) {
  RowWriter row = NewRow(Table::kParcel);
  row.Id(entry_id).Int(parcel.ordinal).Int(parcel.volume_ul);
  if (parcel.origin == 0) {
    row.Null();
  } else {
    row.Text(WordOf(static_cast<v1::Account>(parcel.origin)));
  }
  row.Thing(parcel.place)
      .Thing(parcel.lot)
      .Composition(fold_.state().origins(parcel), fold_.state().doses(parcel));
}

void ProjectionRows::AddMovement(const Uuid& entry_id, int64_t ordinal, const Movement& movement) {
  NewRow(Table::kMovement)
      .Id(entry_id)
      .Int(ordinal)
      .Int(movement.amount)
      .What(movement.commodity)
      .Where(movement.from)
      .ParcelName(movement.from_parcel)
      .Where(movement.to)
      .ParcelName(movement.to_parcel);
}

void ProjectionRows::AddFact(const Uuid& entry_id, int64_t ordinal, const Fact& fact) {
  switch (fact.type) {
    case FactType::kReading:
      NewRow(Table::kReading)
          .Id(entry_id)
          .Int(ordinal)
          .Thing(fact.subject)
          .ParcelName(fact.parcel)
          .Text(WordOf(static_cast<v1::ReadingKind>(fact.kind)))
          .Text(WordOf(static_cast<v1::ReadingUnit>(fact.unit)))
          .Int(fact.value);
      break;
    case FactType::kTreatment:
      NewRow(Table::kTreatment)
          .Id(entry_id)
          .Int(ordinal)
          .Thing(fact.subject)
          .ParcelName(fact.parcel)
          .Text(WordOf(static_cast<v1::TreatmentKind>(fact.kind)))
          .Int(fact.value);
      break;
    case FactType::kObservation:
      NewRow(Table::kObservation)
          .Id(entry_id)
          .Int(ordinal)
          .Thing(fact.subject)
          .ParcelName(fact.parcel);
      break;
    case FactType::kBinCount:
    case FactType::kStockCount:
    case FactType::kVolumeCount:
      NewRow(Table::kCountResult)
          .Id(entry_id)
          .Int(ordinal)
          .Thing(fact.subject)
          .What(fact.kind)
          .Int(fact.value);
      break;
  }
}

void ProjectionRows::AddVessel(Handle vessel) {
  const Holding& holding = fold_.state().holding(vessel);
  if (holding.volume_ul == 0 && holding.dose_count == 0) {
    tables_[static_cast<size_t>(Table::kVessel)].gone[0].AddUuid(fold_.interner().id(vessel));
    return;
  }
  NewRow(Table::kVessel)
      .Thing(vessel)
      .Int(holding.volume_ul)
      .ParcelName(holding.parcel)
      .Thing(holding.lot)
      .Entry(holding.since)
      .Composition(fold_.state().origins(holding), fold_.state().doses(holding));
}

void ProjectionRows::AddBalance(const Balance& balance) {
  if (balance.place.kind() == Place::Kind::kOutside) return;  // a view of the movements says it
  const CommodityInfo& info = fold_.commodities().info(balance.commodity);
  const Uuid what = fold_.interner().id(info.handle);
  const bool in_stock = balance.place.kind() == Place::Kind::kStock;
  const Table table = in_stock ? Table::kStock : Table::kBinContent;
  const Uuid bin = in_stock ? Uuid() : fold_.interner().id(balance.place.handle());
  if (balance.amount == 0) {
    std::vector<PgArray>& gone = tables_[static_cast<size_t>(table)].gone;
    if (!in_stock) gone[0].AddUuid(bin);
    gone[in_stock ? 0 : 1].AddUuid(what);
    gone[in_stock ? 1 : 2].AddInt(info.measure);
    return;
  }
  RowWriter row = NewRow(table);
  if (!in_stock) row.Id(bin);
  row.Id(what).Int(info.measure).Int(balance.amount);
}

void ProjectionRows::AddThing(Handle thing) {
  if (thing == Directory::kSettings) return;
  const Directory::Known* known = fold_.directory().Find(thing);
  if (known == nullptr) {
    tables_[static_cast<size_t>(Table::kThing)].gone[0].AddUuid(fold_.interner().id(thing));
    return;
  }
  NewRow(Table::kThing)
      .Thing(thing)
      .Text(WordOf(known->thing.kind_case()))
      .Text(ThingName(known->thing))
      .Bool(known->retired)
      .Text(ThingJson(known->thing));
}

void ProjectionRows::AddChanges(const Fold::Changes& changes, RowId first_new) {
  for (const RowId row : changes.rows) AddEntry(row, row < first_new);
  for (const Handle vessel : changes.vessels) AddVessel(vessel);
  for (const uint32_t index : changes.balances) AddBalance(fold_.state().balances()[index]);
  for (const Handle thing : changes.things) AddThing(thing);
}

}  // namespace rundlet::server
