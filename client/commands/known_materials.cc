#include "client/commands/known_materials.h"

#include <algorithm>
#include <iterator>
#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "core/oenology/caution.h"
#include "core/quantity/text.h"

namespace rundlet::client {
namespace {

using oenology::Caution;

constexpr int64_t kWholeVolumeUl = 1000;  // a millilitre brings a millilitre
constexpr int64_t kSugarVolumeUl = 620;
constexpr int64_t kPotassiumPpm = 576'300;
constexpr int64_t kSodiumPpm = 674'000;

// A word by which a material is known, and what is usual for it. The first that stands in the name
// or the kind counts.
struct KnownMaterial {
  absl::string_view word;
  absl::string_view kind;
  v1::Dimension dimension = v1::DIMENSION_MASS;
  int64_t volume_effect_ul = 0;
  absl::string_view allergens = {};
  std::optional<Caution> caution = std::nullopt;
};

constexpr KnownMaterial kMaterials[] = {
    {"campden", "sulfite", v1::DIMENSION_COUNT, 0, "sulfites", Caution::kSulfurDioxide},
    {"sulfite tablet", "sulfite", v1::DIMENSION_COUNT, 0, "sulfites", Caution::kSulfurDioxide},
    {"sulphite tablet", "sulfite", v1::DIMENSION_COUNT, 0, "sulfites", Caution::kSulfurDioxide},
    {"sulfite", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"sulphite", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"sulfur dioxide", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"e224", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"e223", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"kms", "sulfite", v1::DIMENSION_MASS, 0, "sulfites", Caution::kSulfurDioxide},
    {"bicarbonate", "deacidifier", v1::DIMENSION_MASS, 0, {}, Caution::kAlkali},
    {"carbonate", "deacidifier", v1::DIMENSION_MASS, 0, {}, Caution::kAlkali},
    {"chalk", "deacidifier", v1::DIMENSION_MASS, 0, {}, Caution::kAlkali},
    {"sorbate", "sorbate"},
    {"copper", "copper", v1::DIMENSION_MASS, 0, {}, Caution::kCopper},
    {"acid", "acid", v1::DIMENSION_MASS, 0, {}, Caution::kAcid},
    {"isinglass", "fining", v1::DIMENSION_MASS, 0, "fish", Caution::kAllergen},
    {"casein", "fining", v1::DIMENSION_MASS, 0, "milk", Caution::kAllergen},
    {"egg", "fining", v1::DIMENSION_MASS, 0, "egg", Caution::kAllergen},
    {"albumin", "fining", v1::DIMENSION_MASS, 0, "egg", Caution::kAllergen},
    {"chitosan", "fining", v1::DIMENSION_MASS, 0, {}, Caution::kAllergen},
    {"silica sol", "fining", v1::DIMENSION_VOLUME, kWholeVolumeUl},
    {"water", "water", v1::DIMENSION_VOLUME, kWholeVolumeUl},
    {"spirit", "spirit", v1::DIMENSION_VOLUME, kWholeVolumeUl, {}, Caution::kFlammable},
    {"brandy", "spirit", v1::DIMENSION_VOLUME, kWholeVolumeUl, {}, Caution::kFlammable},
    {"vodka", "spirit", v1::DIMENSION_VOLUME, kWholeVolumeUl, {}, Caution::kFlammable},
    {"concentrate", "concentrate", v1::DIMENSION_VOLUME, kWholeVolumeUl},
    {"sugar", "sugar", v1::DIMENSION_MASS, kSugarVolumeUl},
};

constexpr absl::string_view kPieces[] = {"closure", "cork",  "bottle",   "capsule",
                                         "label",   "stave", "dry good", "tablet"};
constexpr absl::string_view kLiquids[] = {"water", "spirit", "silica sol", "solution"};

template <size_t n>
bool IsOneOf(const absl::string_view (&words)[n], absl::string_view word) {
  return std::any_of(std::begin(words), std::end(words), [word](absl::string_view one) {
    return absl::EqualsIgnoreCase(one, absl::StripSuffix(word, "s"));
  });
}

const KnownMaterial* Known(const v1::Material& material) {
  const std::string text =
      absl::AsciiStrToLower(absl::StrCat(material.name(), " ", material.kind()));
  // What measures it, or is free of it, is not it.
  if (absl::StrContains(text, "strip") || absl::StrContains(text, "free")) return nullptr;
  for (const KnownMaterial& known : kMaterials) {
    if (HasWord(text, known.word)) return &known;
  }
  return nullptr;
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
  const KnownMaterial* known = Known(material);
  if (known != nullptr) {
    if (!material.has_kind()) material.set_kind(std::string(known->kind));
    if (!material.has_dimension()) material.set_dimension(known->dimension);
    if (!material.has_allergens() && !known->allergens.empty())
      material.set_allergens(std::string(known->allergens));
  }
  const bool as_usual = known != nullptr && material.dimension() == known->dimension;
  if (!material.has_volume_effect_ul()) {
    if (as_usual && known->volume_effect_ul > 0)
      material.set_volume_effect_ul(known->volume_effect_ul);
    else if (material.dimension() == v1::DIMENSION_VOLUME)
      material.set_volume_effect_ul(kWholeVolumeUl);
  }
  if (material.has_so2_ppm() || material.dimension() != v1::DIMENSION_MASS) return;
  if (const auto so2_ppm = So2PpmOf(material); so2_ppm.has_value()) material.set_so2_ppm(*so2_ppm);
}

std::string CautionOf(const v1::Material& material) {
  if (!material.caution().empty()) return material.caution();
  const KnownMaterial* known = Known(material);
  return known == nullptr || !known->caution.has_value()
             ? ""
             : std::string(oenology::CautionText(*known->caution));
}

bool IsSulfite(const v1::Material& material) {
  if (material.so2_ppm() > 0) return true;
  const KnownMaterial* known = Known(material);
  return known != nullptr && known->kind == "sulfite";
}

}  // namespace rundlet::client
