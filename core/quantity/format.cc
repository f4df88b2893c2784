#include "core/quantity/format.h"

#include <cstdlib>

#include "absl/strings/str_cat.h"
#include "absl/types/span.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/quantity/units.h"

namespace rundlet {
namespace {

// From this many base units on (after rounding), print in this unit with so many decimals.
struct Step {
  __int128 from;
  absl::string_view unit;
  int decimals;
};

// Each step begins half a last digit early, so that 999.96 mL rounds into "1 L", not "1000 mL".
// The last step takes the rest.
constexpr Step kVolume[] = {
    {99'999'500, "L", 2}, {999'950, "L", 3}, {100'000, "mL", 1}, {0, "mL", 3}};
constexpr Step kVolumeUs[] = {{946'353, "gal", 2}, {29'574, "fl oz", 1}, {0, "tsp", 3}};
constexpr Step kVolumeExact[] = {{1'000'000, "L", 6}, {0, "mL", 3}};

constexpr Step kMass[] = {
    {999'999'500, "kg", 3}, {999'950, "g", 3}, {100'000, "mg", 1}, {1'000, "mg", 3}, {0, "ug", 0}};
constexpr Step kMassUs[] = {{453'592'370, "lb", 2}, {0, "oz", 3}};
constexpr Step kMassExact[] = {
    {1'000'000'000, "kg", 9}, {1'000'000, "g", 6}, {1'000, "mg", 3}, {0, "ug", 0}};

std::string Print(int64_t base, const Step& step) {
  const Unit& unit = UnitNamed(step.unit);
  return absl::StrCat(PrintRatio(__int128{base} * unit.den, unit.num, 0, step.decimals), " ",
                      step.unit);
}

std::string Print(int64_t base, absl::Span<const Step> steps) {
  const __int128 size = base < 0 ? -__int128{base} : __int128{base};
  for (const Step& step : steps) {
    if (size >= step.from) return Print(base, step);
  }
  std::abort();  // every table ends in a step from 0
}

std::string PrintUs(int64_t base, absl::Span<const Step> steps) {
  const std::string printed = Print(base, steps);
  if (base == 0) return printed;
  const absl::string_view figure = printed;
  const absl::StatusOr<Amount> back = ParseAmount(figure.substr(base < 0 ? 1 : 0));
  const bool same = back.ok() && __int128{back->base} == (base < 0 ? -__int128{base} : base);
  return same ? printed : absl::StrCat("~", printed);
}

}  // namespace

std::string FormatVolume(int64_t volume_ul, UnitSystem system) {
  return system == UnitSystem::kUs ? PrintUs(volume_ul, kVolumeUs) : Print(volume_ul, kVolume);
}

std::string FormatMass(int64_t mass_ug, UnitSystem system) {
  return system == UnitSystem::kUs ? PrintUs(mass_ug, kMassUs) : Print(mass_ug, kMass);
}

std::string FormatCount(int64_t count) { return absl::StrCat(count, " pcs"); }

std::string FormatAmount(const Amount& amount, UnitSystem system) {
  switch (amount.dimension) {
    case Dimension::kVolume:
      return FormatVolume(amount.base, system);
    case Dimension::kMass:
      return FormatMass(amount.base, system);
    case Dimension::kCount:
      return FormatCount(amount.base);
  }
  std::abort();
}

std::string FormatVolumeExact(int64_t volume_ul) { return Print(volume_ul, kVolumeExact); }

std::string FormatMassExact(int64_t mass_ug) { return Print(mass_ug, kMassExact); }

std::string FormatAmountExact(const Amount& amount) {
  switch (amount.dimension) {
    case Dimension::kVolume:
      return FormatVolumeExact(amount.base);
    case Dimension::kMass:
      return FormatMassExact(amount.base);
    case Dimension::kCount:
      return FormatCount(amount.base);
  }
  std::abort();
}

std::string FormatRate(const Rate& rate) {
  constexpr int64_t kLitre = 1'000'000;
  if (rate.dimension == Dimension::kCount) {
    return absl::StrCat(PrintRatio(__int128{rate.num} * kLitre, rate.den, 0, 3), " pcs/L");
  }
  const absl::StatusOr<Amount> per_litre = rate.Times(kLitre);
  if (!per_litre.ok()) {  // less than 1 ug or 1 uL in a litre, or more than anyone means
    return absl::StrCat(rate.num, "/", rate.den, " ", BaseUnitName(rate.dimension), "/uL");
  }
  return absl::StrCat(FormatAmount(*per_litre), "/L");
}

}  // namespace rundlet
