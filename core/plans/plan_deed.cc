#include "core/plans/plan_deed.h"

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/view/names.h"

namespace rundlet::plans {
namespace {

v1::StepAct ActOf(uint8_t body) {
  switch (body) {
    case v1::Entry::kAdditionFieldNumber:
      return v1::STEP_ACT_ADD;
    case v1::Entry::kRackingFieldNumber:
      return v1::STEP_ACT_RACK;
    case v1::Entry::kToppingFieldNumber:
      return v1::STEP_ACT_TOP;
    case v1::Entry::kBlendFieldNumber:
      return v1::STEP_ACT_BLEND;
    case v1::Entry::kPressingFieldNumber:
      return v1::STEP_ACT_PRESS;
    case v1::Entry::kReadingFieldNumber:
      return v1::STEP_ACT_READ;
    case v1::Entry::kTreatmentFieldNumber:
      return v1::STEP_ACT_TREAT;
    case v1::Entry::kObservationFieldNumber:
      return v1::STEP_ACT_OBSERVE;
    case v1::Entry::kBottledFieldNumber:
      return v1::STEP_ACT_BOTTLE;
    case v1::Entry::kSanitisedFieldNumber:
      return v1::STEP_ACT_SANITISE;
    case v1::Entry::kWineReceivedFieldNumber:
      return v1::STEP_ACT_RECEIVE;
    default:
      return v1::STEP_ACT_UNSPECIFIED;
  }
}

}  // namespace

Deed DeedOf(const Fold& fold, const Row& row) {
  Deed deed{.act = ActOf(row.body)};
  if (deed.act == v1::STEP_ACT_UNSPECIFIED) return deed;
  const bool fills = deed.act == v1::STEP_ACT_TOP || deed.act == v1::STEP_ACT_RECEIVE;
  for (const Line& line : fold.sequence().lines(row)) {
    switch (line.role) {
      case Role::kVessel:
      case Role::kSubject:
      case Role::kAbout:
        deed.things.insert(line.handle);
        break;
      case Role::kDraw:
        if (!fills) deed.things.insert(line.handle);
        break;
      case Role::kFill:
        if (fills) deed.things.insert(line.handle);
        break;
      case Role::kLot:
        if (deed.act == v1::STEP_ACT_RECEIVE) deed.lot = line.handle;
        break;
      case Role::kMaterial:
        if (deed.act == v1::STEP_ACT_ADD) deed.materials.push_back(line.handle);
        break;
      case Role::kTreatment:
        deed.treatment = static_cast<v1::TreatmentKind>(line.handle);
        break;
      default:
        break;
    }
  }
  return deed;
}

bool IsMaterial(const Fold& fold, Handle material_or_packet, absl::string_view name) {
  const std::string wanted = absl::AsciiStrToLower(name);
  const Directory::Known* known = fold.directory().Find(material_or_packet);
  if (known != nullptr && absl::EqualsIgnoreCase(NameOfThing(known->thing), wanted)) return true;
  const v1::Material* material = FindMaterial(fold, material_or_packet);
  if (material == nullptr) return false;
  const std::string own = absl::AsciiStrToLower(material->name());
  return own == wanted || absl::EqualsIgnoreCase(material->kind(), wanted) ||
         absl::EndsWith(own, absl::StrCat(" ", wanted));
}

std::vector<Handle> MaterialsMeant(const Fold& fold, absl::string_view word) {
  std::vector<Handle> materials = ThingsByName(fold, v1::Thing::kMaterial);
  std::erase_if(materials, [&](Handle material) { return !IsMaterial(fold, material, word); });
  return materials;
}

}  // namespace rundlet::plans
