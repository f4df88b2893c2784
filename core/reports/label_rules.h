#ifndef RUNDLET_CORE_REPORTS_LABEL_RULES_H_
#define RUNDLET_CORE_REPORTS_LABEL_RULES_H_

#include <cstdint>
#include <string>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/fold/directory.h"

namespace rundlet::reports {

// How far the alcohol on a label may lie from that of the wine, as far as we have seen the texts.
// Alcohol is in millionths of a per cent by volume, as readings are kept. None of it is advice.
struct AlcoholRule {
  absl::string_view jurisdiction;
  absl::string_view wine;  // which wine it is for, in words
  int64_t tolerance_micro = 0;
  int64_t step_micro = 0;  // the label goes in steps of this
  absl::string_view source;
  absl::string_view standing;  // how it was seen
};

// The rule for a wine of that strength; null where we know of none. Of a lot that does not say what
// fruit it is of, grapes are taken for granted; `assumed` says so then.
const AlcoholRule* AlcoholRuleFor(absl::string_view jurisdiction, const v1::Lot& lot,
                                  int64_t alcohol_micro, bool* assumed);

// The figure nearest to what was measured that the label may show: "12.5 % vol".
std::string PrintedAlcohol(const AlcoholRule& rule, int64_t alcohol_micro);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_LABEL_RULES_H_
