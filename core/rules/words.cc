#include "core/rules/words.h"

#include <cstddef>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/number.h"

namespace rundlet::rules {
namespace {

constexpr absl::string_view kColours[] = {"unknown", "red", "rosé", "white"};
constexpr absl::string_view kStyles[] = {"unknown", "still", "sparkling", "fortified"};
constexpr absl::string_view kFruits[] = {"unknown",     "grapes",     "pome fruit", "citrus",
                                         "other fruit", "vegetables", "honey"};
constexpr absl::string_view kStages[] = {"unknown", "must", "wine", "second fermentation"};
constexpr absl::string_view kSchemes[] = {"unknown", "conventional", "organic",
                                          "made with organic grapes"};
constexpr absl::string_view kMarks[] = {"unknown",          "read",           "read-older",
                                        "read-predecessor", "read-secondary", "memory"};
constexpr absl::string_view kMissing[] = {"its colour",
                                          "its sugar",
                                          "whether it is still, sparkling or fortified",
                                          "what it is made of",
                                          "whether it is must or wine",
                                          "whether it is to be labelled organic",
                                          "whether it is of a special class"};

template <size_t kSize>
absl::string_view At(const absl::string_view (&words)[kSize], int index) {
  return index >= 0 && static_cast<size_t>(index) < kSize ? words[index] : "unknown";
}

// "grapes, citrus or honey".
template <typename T>
std::string Either(const std::vector<T>& list) {
  std::string text;
  for (size_t i = 0; i < list.size(); ++i) {
    const absl::string_view joint = i == 0 ? "" : i + 1 == list.size() ? " or " : ", ";
    absl::StrAppend(&text, joint, Name(list[i]));
  }
  return text;
}

std::string Decimal(int64_t value, int64_t unit) { return PrintRatio(value, unit, 0, 6); }

std::string MassText(int64_t ug, absl::string_view per) {
  if (ug >= 1'000'000) return absl::StrCat(Decimal(ug, 1'000'000), " g/", per);
  if (ug >= 10) return absl::StrCat(Decimal(ug, 1000), " mg/", per);
  return absl::StrCat(ug, " ug/", per);
}

std::string SugarText(const Scope& scope) {
  const auto grams = [](const SugarBorder& border) {
    return absl::StrCat(Decimal(border.sugar_ug_l, 1'000'000), " g/L");
  };
  std::string text;
  if (scope.sugar_from.has_value()) {
    text = absl::StrCat(scope.sugar_from->itself ? "from " : "over ", grams(*scope.sugar_from));
  }
  if (scope.sugar_to.has_value()) {
    absl::StrAppend(&text, text.empty() ? "" : " and ",
                    scope.sugar_to->itself ? "up to " : "under ", grams(*scope.sugar_to));
  }
  return text.empty() ? text : absl::StrCat(text, " sugar");
}

}  // namespace

absl::string_view Name(v1::Colour colour) { return At(kColours, colour); }
absl::string_view Name(v1::Style style) { return At(kStyles, style); }
absl::string_view Name(v1::Fruit fruit) { return At(kFruits, fruit); }
absl::string_view Name(v1::Stage stage) { return At(kStages, stage); }
absl::string_view Name(v1::Scheme scheme) { return At(kSchemes, scheme); }
absl::string_view Name(v1::Mark mark) { return At(kMarks, mark); }
absl::string_view Name(Missing missing) { return At(kMissing, static_cast<int>(missing)); }

std::string FigureText(int64_t value, v1::Unit unit) {
  switch (unit) {
    case v1::UNIT_UG_PER_L:
      return MassText(value, "L");
    case v1::UNIT_UG_PER_KG:
      return MassText(value, "kg");
    case v1::UNIT_UEQ_PER_L:
      return absl::StrCat(Decimal(value, 1000), " meq/L");
    case v1::UNIT_PPM_VOLUME:
      return absl::StrCat(Decimal(value, 10'000), " % of the volume");
    case v1::UNIT_PPM_ALCOHOL:
      return absl::StrCat(Decimal(value, 10'000), " % vol");
    case v1::UNIT_MILLIBRIX:
      return absl::StrCat(Decimal(value, 1000), " Brix");
    case v1::UNIT_MILLIPH:
      return absl::StrCat("pH ", Decimal(value, 1000));
    default:
      return "";
  }
}

std::string ScopeText(const Scope& scope) {
  std::vector<std::string> parts = {Either(scope.colours), SugarText(scope), Either(scope.styles)};
  if (!scope.fruits.empty()) parts.push_back(absl::StrCat("of ", Either(scope.fruits)));
  parts.push_back(Either(scope.stages));
  parts.push_back(Either(scope.schemes));
  if (scope.special.has_value()) parts.push_back(scope.special->name);
  std::erase(parts, "");
  return parts.empty() ? "any wine" : absl::StrJoin(parts, ", ");
}

}  // namespace rundlet::rules
