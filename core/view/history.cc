#include "core/view/history.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

using google::protobuf::FieldDescriptor;
using google::protobuf::Message;

// The fields of a thing's kind; nullptr where it has none.
const Message* PartOf(const v1::Thing& thing) {
  const auto* reflection = thing.GetReflection();
  const FieldDescriptor* kind =
      reflection->GetOneofFieldDescriptor(thing, v1::Thing::descriptor()->FindOneofByName("kind"));
  return kind == nullptr ? nullptr : &reflection->GetMessage(thing, kind);
}

// "capacity" of capacity_ul: the unit stands with the value.
std::string FieldWord(const FieldDescriptor& field) {
  absl::string_view name = field.name();
  for (const absl::string_view unit : {"_ul", "_ug", "_ppm", "_millic", "_id", "_base"}) {
    if (absl::EndsWith(name, unit)) name.remove_suffix(unit.size());
  }
  return absl::StrReplaceAll(name, {{"_", " "}});
}

std::string NumberWord(absl::string_view name, int64_t value) {
  if (absl::EndsWith(name, "_ul")) return FormatVolume(value);
  if (absl::EndsWith(name, "_ug")) return FormatMass(value);
  if (absl::EndsWith(name, "_ppm")) return absl::StrCat(value, " ppm");
  if (absl::EndsWith(name, "_millic")) return absl::StrCat(value / 1000, " C");
  return absl::StrCat(value);
}

std::string ValueWord(const Fold& fold, const Message& part, const FieldDescriptor& field) {
  const auto* reflection = part.GetReflection();
  if (!reflection->HasField(part, &field)) return "";
  switch (field.cpp_type()) {
    case FieldDescriptor::CPPTYPE_STRING: {
      const std::string value = reflection->GetString(part, &field);
      return field.type() == FieldDescriptor::TYPE_BYTES ? NameOf(fold, HandleOf(fold, value))
                                                         : value;
    }
    case FieldDescriptor::CPPTYPE_INT64:
      return NumberWord(field.name(), reflection->GetInt64(part, &field));
    case FieldDescriptor::CPPTYPE_INT32:
      return NumberWord(field.name(), reflection->GetInt32(part, &field));
    case FieldDescriptor::CPPTYPE_BOOL:
      return reflection->GetBool(part, &field) ? "yes" : "no";
    case FieldDescriptor::CPPTYPE_ENUM: {
      // "mass" of DIMENSION_MASS.
      const std::string word = absl::AsciiStrToLower(reflection->GetEnum(part, &field)->name());
      return word.substr(word.find('_') + 1);
    }
    default:
      return "";
  }
}

// What one entry says of a thing, next to what was said before.
std::vector<HistoryItem::Change> Compare(const Fold& fold, const v1::Thing& before,
                                         const v1::Thing& said) {
  std::vector<HistoryItem::Change> changes;
  const Message* part = PartOf(said);
  if (part == nullptr) return changes;
  const Message* old = before.kind_case() == said.kind_case() ? PartOf(before) : nullptr;
  for (int i = 0; i < part->GetDescriptor()->field_count(); ++i) {
    const FieldDescriptor& field = *part->GetDescriptor()->field(i);
    if (!part->GetReflection()->HasField(*part, &field)) continue;
    HistoryItem::Change change{.field = FieldWord(field),
                               .before = old == nullptr ? "" : ValueWord(fold, *old, field),
                               .after = ValueWord(fold, *part, field)};
    if (change.before != change.after) changes.push_back(std::move(change));
  }
  return changes;
}

class Historian {
 public:
  Historian(const Fold& fold, EntryOfRow entry_of) : fold_(fold), entry_of_(entry_of) {}

  absl::StatusOr<HistoryItem> Item(size_t position) {
    const RowId id = fold_.sequence().at(position);
    const Row& row = fold_.sequence().row(id);
    const auto entry = entry_of_(id);
    if (!entry.ok()) return entry.status();
    HistoryItem item{.position = position,
                     .line = MakeLogLine(fold_, position, *entry),
                     .device = row.device,
                     .changes = ChangesOf(id, row, *entry),
                     .movements = {},
                     .corrections = {}};
    for (const Movement& m : fold_.MovementsAt(position)) {
      if (!(m.from == m.to)) item.movements.push_back(WordsOf(fold_, m));
    }
    if (row.standing == Row::Standing::kVoid && row.kind != ActKind::kVoid &&
        row.voided_by != kNone) {
      auto correction = CorrectionBy(row.voided_by);
      if (!correction.ok()) return correction.status();
      item.corrections.push_back(*std::move(correction));
    }
    return item;
  }

 private:
  std::vector<HistoryItem::Change> ChangesOf(RowId id, const Row& row, const v1::Entry& entry) {
    const Handle subject = fold_.DirectorySubject(id);
    if (subject == kNoHandle) return {};
    if (entry.has_retired()) return {{.field = "in use", .before = "yes", .after = "no"}};
    const v1::Thing& said = entry.has_registered() ? entry.registered() : entry.changed();
    v1::Thing& known = known_[subject];
    std::vector<HistoryItem::Change> changes = Compare(fold_, known, said);
    if (row.standing == Row::Standing::kCounts) known.MergeFrom(said);
    return changes;
  }

  absl::StatusOr<HistoryItem::Correction> CorrectionBy(RowId id) const {
    const Row& row = fold_.sequence().row(id);
    const auto entry = entry_of_(id);
    if (!entry.ok()) return entry.status();
    return HistoryItem::Correction{
        .entry_id = row.id,
        .amends = row.amends,
        .at_us = row.effective_at_us,
        .utc_offset_min = row.utc_offset_min,
        .author = NameOf(fold_, row.author),
        .reason = row.amends ? entry->amendment().reason() : entry->void_().reason()};
  }

  const Fold& fold_;
  EntryOfRow entry_of_;
  std::map<Handle, v1::Thing> known_;  // as the entries before say
};

}  // namespace

absl::StatusOr<std::vector<HistoryItem>> HistoryOf(const Fold& fold, Handle thing,
                                                   bool with_written, EntryOfRow entry_of) {
  std::vector<size_t> positions = PositionsAbout(fold, thing);
  if (with_written) {
    for (size_t position = 0; position < fold.sequence().size(); ++position) {
      if (fold.sequence().row(fold.sequence().at(position)).author == thing)
        positions.push_back(position);
    }
    std::sort(positions.begin(), positions.end());
    positions.erase(std::unique(positions.begin(), positions.end()), positions.end());
  }
  Historian historian(fold, entry_of);
  std::vector<HistoryItem> items;
  for (const size_t position : positions) {
    auto item = historian.Item(position);
    if (!item.ok()) return item.status();
    items.push_back(*std::move(item));
  }
  return items;
}

absl::StatusOr<std::map<Handle, std::string>> DeviceNames(const Fold& fold, EntryOfRow entry_of) {
  std::map<Handle, std::string> names;
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const RowId id = fold.sequence().at(position);
    const Row& row = fold.sequence().row(id);
    if (row.body != v1::Entry::kDeviceEnrolledFieldNumber) continue;
    const auto entry = entry_of(id);
    if (!entry.ok()) return entry.status();
    names[row.device] = entry->device_enrolled().device_name();
  }
  return names;
}

}  // namespace rundlet
