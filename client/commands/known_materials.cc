#include "client/commands/known_materials.h"

#include <algorithm>
#include <iterator>
#include <optional>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "core/oenology/caution.h"
#include "core/quantity/text.h"
#include "core/rules/groups.h"

namespace rundlet::client {
namespace {

constexpr int64_t kWholeVolumeUl = 1000;  // a millilitre brings a millilitre
constexpr int64_t kPotassiumPpm = 576'300;
constexpr int64_t kSodiumPpm = 674'000;

constexpr absl::string_view kPieces[] = {"closure", "cork",  "bottle",   "capsule",
                                         "label",   "stave", "dry good", "tablet"};
constexpr absl::string_view kLiquids[] = {"water", "spirit", "silica sol", "solution"};

template <size_t n>
bool IsOneOf(const absl::string_view (&words)[n], absl::string_view word) {
  return std::any_of(std::begin(words), std::end(words), [word](absl::string_view one) {
    return absl::EqualsIgnoreCase(one, absl::StripSuffix(word, "s"));
  });
}

std::string TextOf(const v1::Material& material) {
  return absl::AsciiStrToLower(absl::StrCat(material.name(), " ", material.kind()));
}

const rules::v1::Group* Known(const v1::Material& material) {
  const std::string text = TextOf(material);
  // What measures it, or is free of it, is not it.
  if (absl::StrContains(text, "strip") || absl::StrContains(text, "free")) return nullptr;
  return rules::GroupOf(material);
}

v1::Dimension DimensionOf(const rules::v1::Group& known, const v1::Material& material) {
  const std::string text = TextOf(material);
  for (const std::string& word : known.pieces()) {
    if (HasWord(text, word)) return v1::DIMENSION_COUNT;
  }
  return known.dimension() == v1::DIMENSION_UNSPECIFIED ? v1::DIMENSION_MASS : known.dimension();
}

// What the label owes, by the law of many places.
std::string AllergensOf(const rules::v1::Group& known) {
  return known.substance() == rules::v1::SUBSTANCE_TOTAL_SO2 ? "sulfites" : known.allergen();
}

std::optional<oenology::Caution> CautionOf(rules::v1::Caution caution) {
  using oenology::Caution;
  switch (caution) {
    case rules::v1::CAUTION_SULFUR_DIOXIDE:
      return Caution::kSulfurDioxide;
    case rules::v1::CAUTION_ACID:
      return Caution::kAcid;
    case rules::v1::CAUTION_ALKALI:
      return Caution::kAlkali;
    case rules::v1::CAUTION_ALLERGEN:
      return Caution::kAllergen;
    case rules::v1::CAUTION_FLAMMABLE:
      return Caution::kFlammable;
    case rules::v1::CAUTION_COPPER:
      return Caution::kCopper;
    default:
      return std::nullopt;
  }
}

// Only of the dry salts: what a solution yields depends on how it was made.
std::optional<int64_t> So2PpmOf(const v1::Material& material) {
  const std::string name = absl::AsciiStrToLower(material.name());
  const bool dry = absl::StrContains(name, "metabisul") || absl::StrContains(name, "e224") ||
                   absl::StrContains(name, "e223") || HasWord(name, "kms");
  if (!dry || absl::StrContains(name, "solution")) return std::nullopt;
  const bool sodium = absl::StrContains(name, "sodium") || absl::StrContains(name, "e223");
  return sodium ? kSodiumPpm : kPotassiumPpm;
}

}  // namespace

v1::Dimension UsualDimension(absl::string_view kind) {
  if (IsOneOf(kPieces, kind)) return v1::DIMENSION_COUNT;
  if (IsOneOf(kLiquids, kind)) return v1::DIMENSION_VOLUME;
  return v1::DIMENSION_MASS;
}

void FillInKnownMaterial(v1::Material& material) {
  const rules::v1::Group* known = Known(material);
  // What is known only by its group has no usual measure; its kind may.
  const bool usual = known != nullptr && !known->kind().empty();
  const v1::Dimension dimension = usual ? DimensionOf(*known, material) : v1::DIMENSION_UNSPECIFIED;
  if (usual) {
    if (!material.has_kind()) material.set_kind(known->kind());
    if (!material.has_dimension()) material.set_dimension(dimension);
  }
  if (known != nullptr && !material.has_allergens()) {
    if (std::string allergens = AllergensOf(*known); !allergens.empty())
      material.set_allergens(std::move(allergens));
  }
  if (!material.has_volume_effect_ul()) {
    if (usual && material.dimension() == dimension && known->volume_effect_ul() > 0)
      material.set_volume_effect_ul(known->volume_effect_ul());
    else if (material.dimension() == v1::DIMENSION_VOLUME)
      material.set_volume_effect_ul(kWholeVolumeUl);
  }
  if (material.has_so2_ppm() || material.dimension() != v1::DIMENSION_MASS) return;
  if (const auto so2_ppm = So2PpmOf(material); so2_ppm.has_value()) material.set_so2_ppm(*so2_ppm);
}

std::string CautionOf(const v1::Material& material) {
  if (!material.caution().empty()) return material.caution();
  const rules::v1::Group* known = Known(material);
  const auto caution = known == nullptr ? std::nullopt : CautionOf(known->caution());
  return caution.has_value() ? std::string(oenology::CautionText(*caution)) : "";
}

bool IsSulfite(const v1::Material& material) {
  if (material.so2_ppm() > 0) return true;
  const rules::v1::Group* known = Known(material);
  return known != nullptr && known->substance() == rules::v1::SUBSTANCE_TOTAL_SO2;
}

}  // namespace rundlet::client
