#ifndef RUNDLET_CORE_RULES_RULE_TEXTS_H_
#define RUNDLET_CORE_RULES_RULE_TEXTS_H_

#include "absl/types/span.h"
#include "core/rules/limit_texts.h"

namespace rundlet::rules {

// The files of core/rules/rules, put into the program when it is built.
absl::Span<const LimitText> RuleTexts();

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_RULE_TEXTS_H_
