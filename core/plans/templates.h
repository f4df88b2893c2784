#ifndef RUNDLET_CORE_PLANS_TEMPLATES_H_
#define RUNDLET_CORE_PLANS_TEMPLATES_H_

#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::plans {

// A plan as text (plan_text.h).
struct TemplateText {
  absl::string_view name;  // "white"
  absl::string_view text;
};

// The files of core/plans/templates, put into the program when it is built.
absl::Span<const TemplateText> Templates();

}  // namespace rundlet::plans

#endif  // RUNDLET_CORE_PLANS_TEMPLATES_H_
