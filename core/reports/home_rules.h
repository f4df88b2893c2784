#ifndef RUNDLET_CORE_REPORTS_HOME_RULES_H_
#define RUNDLET_CORE_REPORTS_HOME_RULES_H_

#include <cstdint>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::reports {

// What a jurisdiction says of making wine at home, as far as we have seen it. None of it is advice.
struct HomeRule {
  absl::string_view jurisdiction;
  absl::string_view rule;
  int64_t allowance_ul = 0;  // in a calendar year; 0: no figure
  absl::string_view source;
  absl::string_view standing;  // how it was seen
};

// Those of one jurisdiction; none where we know of none.
absl::Span<const HomeRule> HomeRulesOf(absl::string_view jurisdiction);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_HOME_RULES_H_
