#include "core/reports/home_rules.h"

#include <algorithm>

namespace rundlet::reports {
namespace {

// Whole microlitres, never more than the rule says: a US gallon is 3.785 411 784 L.
constexpr int64_t kHundredGallonsUl = 378'541'178;
constexpr int64_t kTwoHundredGallonsUl = 757'082'356;

// Those of one jurisdiction stand together.
constexpr HomeRule kRules[] = {
    {"US", "a household with one adult; not for sale, not for companies; State law may be stricter",
     kHundredGallonsUl, "27 CFR 24.75(b)(2), (e); 26 USC 5042(a)(2)",
     "read in the edition of 2008"},
    {"US", "a household with two or more adults; not for sale; State law may be stricter",
     kTwoHundredGallonsUl, "27 CFR 24.75(b)(1); 26 USC 5042(a)(2)", "read in the edition of 2008"},
    {"CA", "an individual for personal use: no federal limit of volume; provincial law applies", 0,
     "Excise Act, 2001, ss. 134(3)(a), 135(2)(a.1)", "read"},
    {"GB", "for one's own consumption, nothing sold or taken in return: no limit of volume", 0,
     "HMRC Excise Notice 163, s. 1.2",
     "read; the notice was withdrawn in February 2025 and replaced"},
    {"AU", "fermenting for personal consumption: no limit of volume stated; distilling never", 0,
     "ATO guidance on unlicensed manufacture of excisable alcohol", "read"},
    {"EU", "Member States may leave wine untaxed that a private person makes and does not sell", 0,
     "Directive 92/83/EEC, Art. 10", "from memory: check it before you rely on it"},
};

}  // namespace

absl::Span<const HomeRule> HomeRulesOf(absl::string_view jurisdiction) {
  const auto is_of = [jurisdiction](const HomeRule& rule) {
    return rule.jurisdiction == jurisdiction;
  };
  const auto* const first = std::find_if(std::begin(kRules), std::end(kRules), is_of);
  const auto* const after = std::find_if_not(first, std::end(kRules), is_of);
  return absl::MakeConstSpan(first, static_cast<size_t>(after - first));
}

}  // namespace rundlet::reports
