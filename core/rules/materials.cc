#include "core/rules/materials.h"

#include <algorithm>

#include "core/rules/groups.h"
#include "core/view/names.h"

namespace rundlet::rules {
namespace {

constexpr int64_t kWhole = 1'000'000;
constexpr int64_t kMicrolitresPerMl = 1'000;
constexpr int64_t kMostUg = 1'000'000'000'000'000'000;  // no cellar holds so much

}  // namespace

const v1::Group* Materials::GroupOf(Handle material) const {
  const auto [it, fresh] = known_.try_emplace(material, nullptr);
  if (!fresh) return it->second;
  const rundlet::v1::Material* known = FindMaterial(fold_, material);
  if (known == nullptr) return nullptr;
  it->second = FindGroup(groups_, *known);
  return it->second;
}

std::optional<int64_t> Materials::WeightOf(Handle material, rundlet::v1::Dimension dimension,
                                           int64_t amount) const {
  if (dimension == rundlet::v1::DIMENSION_MASS) return amount;
  const rundlet::v1::Material* known = FindMaterial(fold_, material);
  if (known == nullptr || known->unit_mass_ug() <= 0) return std::nullopt;
  const int64_t per = dimension == rundlet::v1::DIMENSION_VOLUME ? kMicrolitresPerMl : 1;
  const __int128 mass_ug = static_cast<__int128>(amount) * known->unit_mass_ug() / per;
  return static_cast<int64_t>(std::min<__int128>(mass_ug, kMostUg));
}

int64_t Materials::MassOf(absl::Span<const Share> doses, v1::Substance substance,
                          absl::string_view counted_as) const {
  __int128 mass = 0;
  for (const Share& dose : doses) {
    const CommodityInfo& info = fold_.commodities().info(dose.of);
    const v1::Group* group = GroupOf(info.handle);
    if (group == nullptr || group->substance() != substance) continue;
    const auto mass_ug =
        WeightOf(info.handle, static_cast<rundlet::v1::Dimension>(info.measure), dose.amount);
    if (!mass_ug.has_value()) continue;
    int64_t ppm = group->part_ppm() == 0 ? kWhole : group->part_ppm();
    if (substance == v1::SUBSTANCE_TOTAL_SO2) ppm = FindMaterial(fold_, info.handle)->so2_ppm();
    for (const v1::CountedAs& counted : group->counted_as()) {
      if (counted.as() == counted_as) ppm = counted.ppm();
    }
    mass += static_cast<__int128>(*mass_ug) * ppm;
  }
  return static_cast<int64_t>(std::min<__int128>(mass / kWhole, kMostUg));
}

int64_t Materials::VolumeOf(absl::Span<const Share> doses, v1::Substance substance) const {
  __int128 volume_ul = 0;
  for (const Share& dose : doses) {
    const CommodityInfo& info = fold_.commodities().info(dose.of);
    if (info.measure != rundlet::v1::DIMENSION_VOLUME) continue;
    const v1::Group* group = GroupOf(info.handle);
    if (group != nullptr && group->substance() == substance) volume_ul += dose.amount;
  }
  return static_cast<int64_t>(std::min<__int128>(volume_ul, kMostUg));
}

absl::string_view Materials::WhyUncounted(const CommodityInfo& dose) const {
  const v1::Group* group = GroupOf(dose.handle);
  if (group == nullptr || group->substance() == v1::SUBSTANCE_UNSPECIFIED) return "";
  const bool poured = dose.measure == rundlet::v1::DIMENSION_VOLUME;
  if (poured && group->substance() == v1::SUBSTANCE_WATER) return "";
  const rundlet::v1::Material* known = FindMaterial(fold_, dose.handle);
  if (known == nullptr) return "";
  if (dose.measure != rundlet::v1::DIMENSION_MASS && known->unit_mass_ug() <= 0)
    return poured ? "nobody has said how much of it is in a millilitre (--unit-mass)"
                  : "nobody has said what a piece of it weighs (--unit-mass)";
  if (group->substance() == v1::SUBSTANCE_TOTAL_SO2 && known->so2_ppm() <= 0)
    return "nobody has said how much SO2 it yields (--so2)";
  return "";
}

bool Materials::AnyOf(absl::Span<const Share> doses, const v1::Happening& happening) const {
  return std::any_of(doses.begin(), doses.end(), [&](const Share& dose) {
    return Names(happening, GroupOf(fold_.commodities().info(dose.of).handle));
  });
}

bool Materials::AnyFiningIs(absl::Span<const v1::Substance> substances) const {
  return std::any_of(groups_.begin(), groups_.end(), [&](const v1::Group& group) {
    return group.fining() &&
           std::find(substances.begin(), substances.end(), group.substance()) != substances.end();
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
