#include "core/fold/directory.h"

#include <algorithm>

#include "absl/strings/str_cat.h"

namespace rundlet {
const std::string& NameOfThing(const v1::Thing& thing) {
  switch (thing.kind_case()) {
    case v1::Thing::kVessel:
      return thing.vessel().name();
    case v1::Thing::kEquipment:
      return thing.equipment().name();
    case v1::Thing::kMaterial:
      return thing.material().name();
    case v1::Thing::kMaterialLot:
      return thing.material_lot().name();
    case v1::Thing::kBin:
      return thing.bin().name();
    case v1::Thing::kMember:
      return thing.member().name();
    case v1::Thing::kLot:
      return thing.lot().name();
    case v1::Thing::kBottling:
      return thing.bottling().name();
    case v1::Thing::KIND_NOT_SET:
      break;
  }
  static const std::string* const kNoName = new std::string;
  return *kNoName;
}

absl::string_view Directory::SubjectId(const v1::Entry& entry) {
  switch (entry.body_case()) {
    case v1::Entry::kRegistered:
      return entry.registered().thing_id();
    case v1::Entry::kChanged:
      return entry.changed().thing_id();
    case v1::Entry::kRetired:
      return entry.retired().thing_id();
    default:
      return {};
  }
}

void Directory::Add(RowId row, Handle subject, const v1::Entry& entry, const Sequence& sequence) {
  std::vector<Saying>& sayings = sayings_[subject];
  // Registrations first, whatever their date; then changes and retirements in fold order.
  const bool registers = entry.has_registered();
  const auto at =
      std::upper_bound(sayings.begin(), sayings.end(), row, [&](RowId fresh, const Saying& saying) {
        if (registers != saying.entry.has_registered()) return registers;
        return sequence.Before(fresh, saying.row);
      });
  Saying& saying = *sayings.insert(at, Saying{.row = row, .entry = {}});
  switch (entry.body_case()) {
    case v1::Entry::kRegistered:
      *saying.entry.mutable_registered() = entry.registered();
      break;
    case v1::Entry::kChanged:
      *saying.entry.mutable_changed() = entry.changed();
      break;
    case v1::Entry::kRetired:
      *saying.entry.mutable_retired() = entry.retired();
      break;
    default:
      *saying.entry.mutable_settings_changed() = entry.settings_changed();
      break;
  }
}

bool Directory::Update(Handle subject, const Sequence& sequence) {
  v1::SettingsChanged settings;
  Known known;
  v1::Thing::KindCase kind = v1::Thing::KIND_NOT_SET;
  const std::vector<Saying>& sayings = sayings_[subject];
  const auto counts = [&](const Saying& saying) {
    return sequence.row(saying.row).standing == Row::Standing::kCounts;
  };
  // The first registration in fold order says what kind of thing it is; what speaks of another kind
  // is passed over.
  for (const Saying& saying : sayings) {
    if (!counts(saying) || !saying.entry.has_registered()) continue;
    kind = saying.entry.registered().kind_case();
    break;
  }
  for (const Saying& saying : sayings) {
    if (!counts(saying)) continue;
    if (saying.entry.has_settings_changed()) {
      if (saying.entry.settings_changed().has_jurisdictions()) settings.clear_jurisdictions();
      settings.MergeFrom(saying.entry.settings_changed());
    } else if (saying.entry.has_retired()) {
      known.retired = true;
    } else {
      const v1::Thing& said =
          saying.entry.has_registered() ? saying.entry.registered() : saying.entry.changed();
      if (said.kind_case() != kind) continue;
      known.thing.MergeFrom(said);
      known.retired = false;
    }
  }
  if (subject == kSettings) {
    settings_ = settings;
    return false;
  }
  if (subject >= kinds_.size()) kinds_.resize(subject + 1, v1::Thing::KIND_NOT_SET);
  const bool changed = kinds_[subject] != kind;
  kinds_[subject] = kind;
  if (kind == v1::Thing::KIND_NOT_SET) {
    known_.erase(subject);
  } else {
    known_[subject] = std::move(known);
  }
  return changed;
}

const v1::Thing* Directory::FindFormer(Handle handle) const {
  const auto it = sayings_.find(handle);
  if (handle == kSettings || Find(handle) != nullptr || it == sayings_.end()) return nullptr;
  for (const Saying& saying : it->second) {
    if (saying.entry.has_registered()) return &saying.entry.registered();
  }
  return nullptr;
}

std::string Directory::NameOf(Handle handle, const Sequence& sequence) const {
  if (const Known* known = Find(handle); known != nullptr) {
    if (const std::string& name = NameOfThing(known->thing); !name.empty()) return name;
  }
  if (handle == kNoHandle) return "";
  if (const v1::Thing* former = FindFormer(handle); former != nullptr) {
    if (const std::string& name = NameOfThing(*former); !name.empty()) return name;
  }
  return absl::StrCat("unnamed ", sequence.interner().id(handle).ToString());
}

void Directory::ForEach(v1::Thing::KindCase kind,
                        absl::FunctionRef<void(Handle, const Known&)> visit) const {
  for (const auto& [handle, known] : known_) {
    if (known.thing.kind_case() == kind) visit(handle, known);
  }
}

}  // namespace rundlet
