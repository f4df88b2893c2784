#ifndef RUNDLET_CORE_RULES_LIMIT_TEXTS_H_
#define RUNDLET_CORE_RULES_LIMIT_TEXTS_H_

#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::rules {

// A file of limits, as text.
struct LimitText {
  absl::string_view name;  // "eu.textproto"
  absl::string_view text;
};

// The files of core/rules/limits, put into the program when it is built.
absl::Span<const LimitText> LimitTexts();

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LIMIT_TEXTS_H_
