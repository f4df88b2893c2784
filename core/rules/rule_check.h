#ifndef RUNDLET_CORE_RULES_RULE_CHECK_H_
#define RUNDLET_CORE_RULES_RULE_CHECK_H_

#include "absl/container/flat_hash_set.h"
#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "rundlet/rules/v1/rule.pb.h"

namespace rundlet::rules {

// What a rule must be before it is let in; InvalidArgument with its id and what is wrong with it.
// `groups` are the ids that it may name.
absl::Status CheckRule(const v1::Rule& rule, const absl::flat_hash_set<std::string>& groups);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_RULE_CHECK_H_
