#include "client/commands/show_parts.h"

#include <algorithm>
#include <limits>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "core/care/gear.h"
#include "core/quantity/format.h"
#include "core/quantity/number.h"
#include "core/quantity/reading.h"
#include "core/view/board.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/record_sentence.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

// "Capacity  23 L" and so on, of those that were said.
std::string Attributes(const ThingKind& kind, const Fold& fold, Handle thing) {
  const Directory::Known& known = *fold.directory().Find(thing);
  const std::vector<std::string> row = kind.row(fold, thing, known.thing);
  size_t width = 0;
  for (const std::string& heading : kind.headings) width = std::max(width, heading.size());
  std::string text;
  for (size_t i = 0; i < row.size(); ++i) {
    if (row[i].empty()) continue;
    const std::string heading = kind.headings[i].substr(kind.headings[i][0] == '>' ? 1 : 0);
    absl::StrAppend(&text, heading, std::string(width - heading.size() + 2, ' '), row[i], "\n");
  }
  if (known.retired) absl::StrAppend(&text, "It is no longer in use.\n");
  return text;
}

std::string Section(const Table& table, size_t width) {
  return table.empty() ? "" : absl::StrCat("\n", table.Print(width));
}

std::string Percent(int64_t part, int64_t whole) {
  return whole == 0
             ? ""
             : absl::StrCat(PrintRatio(static_cast<__int128>(part) * 100, whole, 0, 1), " %");
}

// "103 mg/L" of a mass, "50 mL/L" of a volume.
std::string RateOf(const v1::Amount& amount, int64_t volume_ul) {
  if (volume_ul == 0 || amount.base() == 0) return "";
  return FormatRate(
      {.dimension = FromWire(amount).dimension, .num = amount.base(), .den = volume_ul});
}

std::string VesselSections(const Fold& fold, Handle vessel, size_t width) {
  const v1::VesselLine line = MakeVesselLine(fold, vessel);
  Table origins({"Made of", ">Volume", ">Share"});
  for (const v1::ShareLine& origin : line.origins()) {
    origins.Add({origin.description(), FormatVolume(origin.volume_ul()),
                 Percent(origin.volume_ul(), line.volume_ul())});
  }
  Table doses({"Added", ">Amount", ">In it"});
  for (const v1::DoseLine& dose : line.doses()) {
    doses.Add({dose.name(), FormatAmountOf(dose.amount().dimension(), dose.amount().base()),
               RateOf(dose.amount(), line.volume_ul())});
  }
  Table readings({"Latest reading", ">Value", "When"});
  for (const v1::ReadingLine& reading : line.readings()) {
    // "pH 3.40" says what it is by itself.
    const std::string word(ReadingWord(reading.kind()));
    std::string value = FormatReading(reading.value_micro(), FromWire(reading.unit()));
    if (value.starts_with(word + " ")) value.erase(0, word.size() + 1);
    readings.Add(
        {word, value,
         FormatWhen({.at_us = reading.at_us(), .utc_offset_min = reading.utc_offset_min()})});
  }
  return absl::StrCat(Section(origins, width), Section(doses, width), Section(readings, width));
}

// Of an entry that counts no longer: the entry by which, and why.
std::string EndOf(Cellar& cellar, RowId row) {
  const Sequence& sequence = cellar.fold->sequence();
  const RowId by = sequence.row(row).voided_by;
  if (sequence.row(row).standing != Row::Standing::kVoid || by == kNone) return "";
  const std::string id = ShortId(sequence.row(by).id);
  const auto entry = EntryOfRow(cellar, by);
  const std::string reason = !entry.ok()              ? ""
                             : entry->has_void_()     ? entry->void_().reason()
                             : entry->has_amendment() ? entry->amendment().reason()
                                                      : "";
  return absl::StrCat(", entry ", id, sequence.row(by).amends ? ", which stands in its place" : "",
                      reason.empty() ? "" : ": ", reason);
}

Table BottlesTable() { return Table({"Bin", ">Bottles", ">Size", "Bottling", "Lot code"}); }

// Bottles in all bins that `wanted` takes, and those that stand opened.
template <typename Wanted>
std::string BottleSection(const Fold& fold, size_t width, Wanted wanted) {
  Table table = BottlesTable();
  const auto add = [&](const std::string& place, const v1::BottleLine& bottles) {
    table.Add({place, absl::StrCat(bottles.count()), FormatVolume(bottles.size_ul()),
               bottles.bottling_name(), bottles.lot_code()});
  };
  for (const Handle bin : ThingsByName(fold, v1::Thing::kBin, true)) {
    const v1::BinLine line = MakeBinLine(fold, bin);
    for (const v1::BottleLine& bottles : line.bottles()) {
      if (wanted(bin, bottles)) add(line.name(), bottles);
    }
  }
  for (const v1::BottleLine& bottles : BottlesAt(fold, Place::Outside(v1::ACCOUNT_OPENED))) {
    if (wanted(kNoHandle, bottles)) add("opened", bottles);
  }
  return Section(table, width);
}

std::string LotSections(const Fold& fold, Handle lot, size_t width) {
  const std::string lot_bytes = fold.interner().id(lot).ToBytes();
  return BottleSection(fold, width, [&](Handle, const v1::BottleLine& bottles) {
    const auto id = Uuid::Parse(bottles.bottling_id());
    const Directory::Known* known =
        id.ok() ? fold.directory().Find(fold.interner().Find(*id)) : nullptr;
    return known != nullptr && known->thing.bottling().lot_id() == lot_bytes;
  });
}

std::string MaterialSections(const Fold& fold, Handle material, size_t width) {
  const v1::Material& known = fold.directory().Find(material)->thing.material();
  std::string text =
      known.caution().empty() ? "" : absl::StrCat("Caution: ", known.caution(), "\n");
  Table packets({"Packet", ">In stock", "Code", "Expires", "Supplier"});
  for (const Handle packet : ThingsByName(fold, v1::Thing::kMaterialLot)) {
    const v1::MaterialLot& lot = fold.directory().Find(packet)->thing.material_lot();
    if (lot.material_id() != fold.interner().id(material).bytes()) continue;
    const v1::StockLine line = MakeStockLine(fold, packet);
    packets.Add({line.name(),
                 line.amount().base() > 0
                     ? FormatAmountOf(line.amount().dimension(), line.amount().base())
                     : "none",
                 line.supplier_lot(), line.expires_on(), lot.supplier()});
  }
  return absl::StrCat(text, Section(packets, width));
}

// Who has it, how it is, when it was cleaned and checked last: the entries' own words.
std::string CareSection(const Fold& fold, Handle thing, size_t width) {
  const care::GearState state = care::StateOf(fold, thing, std::numeric_limits<int64_t>::max());
  Table table({"Care", "When", "What"});
  const auto add = [&](absl::string_view what, RowId row, absl::string_view more) {
    if (row == kNone) return;
    const Row& entry = fold.sequence().row(row);
    table.Add({std::string(what),
               FormatWhen({.at_us = entry.effective_at_us, .utc_offset_min = entry.utc_offset_min}),
               absl::StrCat(RecordSentence(fold, *fold.records().Find(row)), more)});
  };
  if (state.lent.has_value()) add("lent", state.lent->row, "");
  if (!state.lent.has_value() || state.condition_row != state.lent->row)
    add("condition", state.condition_row, "");
  add("sanitised", state.cleaned, state.used_since ? "; used since" : "");
  add("calibrated", state.calibrated, "");
  return Section(table, width);
}

std::string Sections(const Fold& fold, Handle thing, size_t width) {
  switch (fold.directory().kind(thing)) {
    case v1::Thing::kVessel:
      return absl::StrCat(VesselSections(fold, thing, width), CareSection(fold, thing, width));
    case v1::Thing::kEquipment:
      return CareSection(fold, thing, width);
    case v1::Thing::kLot:
      return LotSections(fold, thing, width);
    case v1::Thing::kMaterial:
      return MaterialSections(fold, thing, width);
    case v1::Thing::kBin:
      return BottleSection(fold, width, [&](Handle bin, const v1::BottleLine&) {
        return IsInside(fold, bin, thing);
      });
    case v1::Thing::kBottling: {
      const std::string id = fold.interner().id(thing).ToString();
      return BottleSection(fold, width, [&](Handle, const v1::BottleLine& bottles) {
        return bottles.bottling_id() == id;
      });
    }
    default:
      return "";
  }
}

}  // namespace

const ThingKind& KindOf(const Fold& fold, Handle thing) {
  switch (fold.directory().kind(thing)) {
    case v1::Thing::kEquipment:
      return GearKind();
    case v1::Thing::kMaterial:
      return MaterialKind();
    case v1::Thing::kMaterialLot:
      return PacketKind();
    case v1::Thing::kBin:
      return BinKind();
    case v1::Thing::kMember:
      return MemberKind();
    case v1::Thing::kLot:
      return LotKind();
    case v1::Thing::kBottling:
      return BottlingKind();
    default:
      return VesselKind();
  }
}

std::string TextOfThing(const Fold& fold, Handle thing, size_t width) {
  return absl::StrCat(Attributes(KindOf(fold, thing), fold, thing), Sections(fold, thing, width));
}

std::string JsonOfRow(const ThingKind& kind, const Fold& fold, Handle thing) {
  const Directory::Known& known = *fold.directory().Find(thing);
  const std::vector<std::string> row = kind.row(fold, thing, known.thing);
  JsonObject json;
  json.Text("id", fold.interner().id(thing).ToString()).Text("thing", KindWord(kind.kind));
  for (size_t i = 0; i < row.size(); ++i) {
    // The first column is the thing's name, whatever its heading.
    const std::string heading =
        absl::StrReplaceAll(absl::AsciiStrToLower(kind.headings[i]), {{" ", "_"}, {">", ""}});
    json.Text(i == 0 ? "name" : heading, row[i]);
  }
  return json.Bool("retired", known.retired).Finish();
}

std::string JsonOfThing(const Fold& fold, Handle thing) {
  switch (fold.directory().kind(thing)) {
    case v1::Thing::kVessel:
      return ProtoJson(MakeVesselLine(fold, thing)) + "\n";
    case v1::Thing::kBin:
      return ProtoJson(MakeBinLine(fold, thing)) + "\n";
    case v1::Thing::kMaterialLot:
      return ProtoJson(MakeStockLine(fold, thing)) + "\n";
    default:
      return JsonOfRow(KindOf(fold, thing), fold, thing) + "\n";
  }
}

std::string TextOfEntry(Cellar& cellar, const StoredEntry& stored, const v1::Entry& entry) {
  const Fold& fold = *cellar.fold;
  std::string state = stored.state == EntryState::kOutbox ? "not synced" : "recorded";
  std::string author = cellar.store.device().member_name;
  if (const RowId row = fold.sequence().Find(stored.id); row != kNone) {
    const v1::LogLine line = MakeLogLine(fold, fold.sequence().PositionOf(row), entry);
    author = line.author();
    if (line.state() != "counts")
      absl::StrAppend(&state, ", ", line.state(), ": ", line.reason(), EndOf(cellar, row));
  } else if (stored.state == EntryState::kReturned) {
    state = absl::StrCat("returned by the server: ", WhyReturned(stored));
  }
  std::string text = absl::StrCat(
      "entry     ", stored.id.ToString(), "\nwhat      ", Summarise(fold, entry), "\nhappened  ",
      FormatWhen({.at_us = entry.effective_at_us(), .utc_offset_min = entry.utc_offset_min()}),
      "\nwritten   ",
      FormatWhen({.at_us = entry.written_at_us(), .utc_offset_min = entry.utc_offset_min()}),
      " by ", author, "\nstate     ", state, "\n");
  if (entry.has_amendment() && !entry.amendment().reason().empty())
    absl::StrAppend(&text, "because   ", entry.amendment().reason(), "\n");
  if (!entry.note().empty()) absl::StrAppend(&text, "note      ", entry.note(), "\n");
  return text;
}

}  // namespace rundlet::client
