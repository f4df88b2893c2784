#include "core/rules/materials.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "core/quantity/text.h"
#include "core/view/names.h"

namespace rundlet::rules {
namespace {

constexpr int64_t kWhole = 1'000'000;

bool IsIn(const v1::Group& group, absl::string_view text) {
  const auto stands = [text](const std::string& word) { return HasWord(text, word); };
  return std::any_of(group.words().begin(), group.words().end(), stands) &&
         std::none_of(group.unless().begin(), group.unless().end(), stands);
}

}  // namespace

const v1::Group* Materials::GroupOf(Handle material) const {
  const auto [it, fresh] = known_.try_emplace(material, nullptr);
  if (!fresh) return it->second;
  const rundlet::v1::Material* known = FindMaterial(fold_, material);
  if (known == nullptr) return nullptr;
  const std::string text = absl::AsciiStrToLower(
      absl::StrCat(known->name(), " ", known->kind(), " ", known->allergens()));
  for (const v1::Group& group : groups_) {
    const bool is_sulfite = group.substance() == v1::SUBSTANCE_TOTAL_SO2 && known->so2_ppm() > 0;
    if (!is_sulfite && !IsIn(group, text)) continue;
    it->second = &group;
    break;
  }
  return it->second;
}

int64_t Materials::MassOf(absl::Span<const Share> doses, v1::Substance substance,
                          absl::string_view counted_as) const {
  __int128 mass = 0;
  for (const Share& dose : doses) {
    const CommodityInfo& info = fold_.commodities().info(dose.of);
    if (info.measure != rundlet::v1::DIMENSION_MASS) continue;
    const v1::Group* group = GroupOf(info.handle);
    if (group == nullptr || group->substance() != substance) continue;
    int64_t ppm = group->part_ppm() == 0 ? kWhole : group->part_ppm();
    if (substance == v1::SUBSTANCE_TOTAL_SO2) ppm = FindMaterial(fold_, info.handle)->so2_ppm();
    for (const v1::CountedAs& counted : group->counted_as()) {
      if (counted.as() == counted_as) ppm = counted.ppm();
    }
    mass += static_cast<__int128>(dose.amount) * ppm;
  }
  return static_cast<int64_t>(mass / kWhole);
}

bool Materials::AnyOf(absl::Span<const Share> doses, const v1::Happening& happening) const {
  return std::any_of(doses.begin(), doses.end(), [&](const Share& dose) {
    return Names(happening, GroupOf(fold_.commodities().info(dose.of).handle));
  });
}

std::string Materials::NameOf(Handle material) const {
  const rundlet::v1::Material* known = FindMaterial(fold_, material);
  return known == nullptr ? fold_.directory().NameOf(material, fold_.sequence()) : known->name();
}

bool Names(const v1::Happening& happening, const v1::Group* group) {
  if (group == nullptr) return false;
  if (happening.any_fining() && group->fining()) return true;
  return std::find(happening.groups().begin(), happening.groups().end(), group->id()) !=
         happening.groups().end();
}

}  // namespace rundlet::rules
