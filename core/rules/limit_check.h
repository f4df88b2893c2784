#ifndef RUNDLET_CORE_RULES_LIMIT_CHECK_H_
#define RUNDLET_CORE_RULES_LIMIT_CHECK_H_

#include "absl/status/status.h"
#include "absl/types/span.h"
#include "core/rules/limit.h"

// What a limit must be before it is let in. Each gives InvalidArgument with the limit's or source's
// id and what is wrong with it.
namespace rundlet::rules {

absl::Status CheckSource(const v1::Source& source);
absl::Status CheckLimit(const Limit& limit);
absl::Status CheckTogether(absl::Span<const Limit> limits);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LIMIT_CHECK_H_
