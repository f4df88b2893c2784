#include "core/view/log_line.h"

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/entry/entry.h"
#include "core/quantity/format.h"
#include "core/view/named.h"
#include "core/view/wire_units.h"

namespace rundlet {
namespace {

// What is left to say of an entry in which it took part without being named.
bool InvolvesLot(const Fold& fold, size_t position, Handle lot) {
  const State& state = fold.state();
  const auto of_lot = [&](ParcelId parcel) {
    return parcel != kNone && state.parcels()[parcel].lot == lot;
  };
  for (const Movement& m : fold.MovementsAt(position)) {
    if (of_lot(m.from_parcel) || of_lot(m.to_parcel)) return true;
  }
  for (const Fact& f : fold.FactsAt(position)) {
    if (of_lot(f.parcel)) return true;
  }
  return false;
}

// A material is named through its deliveries too.
absl::flat_hash_set<Handle> WithDeliveries(const Fold& fold, Handle thing) {
  absl::flat_hash_set<Handle> things = {thing};
  if (fold.directory().kind(thing) != v1::Thing::kMaterial) return things;
  fold.directory().ForEach(v1::Thing::kMaterialLot, [&](Handle lot, const Directory::Known& known) {
    if (known.thing.material_lot().material_id() == fold.interner().id(thing).bytes())
      things.insert(lot);
  });
  return things;
}

}  // namespace

std::string FormatAmountOf(v1::Dimension dimension, int64_t base) {
  switch (dimension) {
    case v1::DIMENSION_MASS:
      return FormatMass(base);
    case v1::DIMENSION_VOLUME:
      return FormatVolume(base);
    default:
      return FormatCount(base);
  }
}

std::vector<size_t> PositionsAbout(const Fold& fold, Handle thing) {
  const absl::flat_hash_set<Handle> things = WithDeliveries(fold, thing);
  const bool is_lot = fold.directory().kind(thing) == v1::Thing::kLot;
  std::vector<size_t> positions;
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const RowId row = fold.sequence().at(position);
    bool about = is_lot && InvolvesLot(fold, position, thing);
    ForEachNamed(fold, row, [&](Handle named) { about = about || things.contains(named); });
    about = about || things.contains(fold.DirectorySubject(row));
    if (about) positions.push_back(position);
  }
  return positions;
}

v1::LogLine MakeLogLine(const Fold& fold, size_t position, const v1::Entry& entry) {
  const Row& row = fold.sequence().row(fold.sequence().at(position));
  v1::LogLine line;
  line.set_entry_id(row.id.ToString());
  line.set_effective_at_us(row.effective_at_us);
  line.set_utc_offset_min(row.utc_offset_min);
  line.set_written_at_us(entry.written_at_us());
  line.set_author(fold.directory().NameOf(row.author, fold.sequence()));
  line.set_kind(std::string(KindName(entry)));
  line.set_summary(Summarise(fold, entry));
  if (entry.has_amendment()) {
    const auto target = Uuid::FromBytes(entry.amendment().target_id());
    absl::StrAppend(line.mutable_summary(), "; instead of ", target.ok() ? ShortId(*target) : "?");
    if (!entry.amendment().reason().empty())
      absl::StrAppend(line.mutable_summary(), ": ", entry.amendment().reason());
  }
  line.set_note(entry.note());
  if (row.standing == Row::Standing::kVoid &&
      row.kind != ActKind::kVoid) {  // a void stands, whatever is said of it
    const Row& by = fold.sequence().row(row.voided_by);
    line.set_state(by.amends ? "amended" : "void");
    line.set_reason(absl::StrCat("by ", fold.directory().NameOf(by.author, fold.sequence())));
  } else if (const Held* held = fold.HeldAt(position); held != nullptr) {
    line.set_state("held");
    line.set_reason(HeldSentence(fold, *held));
  } else {
    line.set_state("counts");
  }
  return line;
}

v1::HeldLine MakeHeldLine(const Fold& fold, const Held& held, const v1::Entry& entry) {
  v1::HeldLine line;
  const Row& row = fold.sequence().row(held.row);
  line.set_entry_id(row.id.ToString());
  *line.mutable_entry() = MakeLogLine(fold, fold.sequence().PositionOf(held.row), entry);
  line.set_reason(held.reason);
  if (held.subject != kNoHandle) {
    line.set_subject_id(fold.interner().id(held.subject).ToString());
    line.set_subject_name(fold.directory().NameOf(held.subject, fold.sequence()));
  }
  line.set_needed(held.needed);
  line.set_there(held.there);
  if (held.taken_by != kNone) line.set_taken_by(fold.sequence().row(held.taken_by).id.ToString());
  line.set_message(HeldSentence(fold, held));
  return line;
}

}  // namespace rundlet
