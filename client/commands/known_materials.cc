#include "client/commands/known_materials.h"

#include <algorithm>
#include <iterator>

#include "absl/strings/match.h"
#include "absl/strings/strip.h"

namespace rundlet::client {
namespace {

struct KnownMaterial {
  absl::string_view name;
  absl::string_view kind;
  v1::Dimension dimension;
  int64_t volume_effect_ul;
  int64_t so2_ppm;
  absl::string_view allergens;
  absl::string_view caution;
};

constexpr absl::string_view kSulfiteCaution =
    "sulfite can bring on asthma: keep out of its fumes, and never near acid in a closed room";

constexpr KnownMaterial kMaterials[] = {
    {"potassium metabisulfite", "sulfite", v1::DIMENSION_MASS, 0, 576'300, "sulfites",
     kSulfiteCaution},
    {"sodium metabisulfite", "sulfite", v1::DIMENSION_MASS, 0, 674'000, "sulfites",
     kSulfiteCaution},
    {"water", "water", v1::DIMENSION_VOLUME, 1000, 0, "", ""},
    {"sugar", "sugar", v1::DIMENSION_MASS, 620, 0, "", ""},
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

}  // namespace

v1::Dimension UsualDimension(absl::string_view kind) {
  if (IsOneOf(kPieces, kind)) return v1::DIMENSION_COUNT;
  if (IsOneOf(kLiquids, kind)) return v1::DIMENSION_VOLUME;
  return v1::DIMENSION_MASS;
}

bool FillInKnownMaterial(absl::string_view name, v1::Material& material) {
  for (const KnownMaterial& known : kMaterials) {
    if (!absl::EqualsIgnoreCase(known.name, name)) continue;
    if (!material.has_kind()) material.set_kind(std::string(known.kind));
    if (!material.has_dimension()) material.set_dimension(known.dimension);
    if (!material.has_volume_effect_ul() && known.volume_effect_ul > 0) {
      material.set_volume_effect_ul(known.volume_effect_ul);
    }
    if (!material.has_so2_ppm() && known.so2_ppm > 0) material.set_so2_ppm(known.so2_ppm);
    if (!material.has_allergens() && !known.allergens.empty())
      material.set_allergens(std::string(known.allergens));
    if (!material.has_caution() && !known.caution.empty())
      material.set_caution(std::string(known.caution));
    return true;
  }
  return false;
}

}  // namespace rundlet::client
