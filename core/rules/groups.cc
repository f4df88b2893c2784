#include "core/rules/groups.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "core/quantity/text.h"
#include "core/rules/rule_book.h"

namespace rundlet::rules {
namespace {

bool IsIn(const v1::Group& group, absl::string_view text) {
  const auto stands = [text](const std::string& word) { return HasWord(text, word); };
  return std::any_of(group.words().begin(), group.words().end(), stands) &&
         std::none_of(group.unless().begin(), group.unless().end(), stands);
}

}  // namespace

const v1::Group* FindGroup(absl::Span<const v1::Group> groups,
                           const rundlet::v1::Material& material) {
  const std::string text =
      absl::AsciiStrToLower(absl::StrCat(material.name(), " ", material.kind()));
  const std::string allergens = absl::AsciiStrToLower(material.allergens());
  const auto found = std::find_if(groups.begin(), groups.end(), [&](const v1::Group& group) {
    const bool is_sulfite = group.substance() == v1::SUBSTANCE_TOTAL_SO2 && material.so2_ppm() > 0;
    const bool by_allergen = !group.allergen().empty() && IsIn(group, allergens);
    return is_sulfite || by_allergen || IsIn(group, text);
  });
  return found == groups.end() ? nullptr : &*found;
}

const v1::Group* GroupOf(const rundlet::v1::Material& material) {
  return FindGroup(BuiltInRules().groups, material);
}

}  // namespace rundlet::rules
