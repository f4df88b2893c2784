// Plans, rules of the house and limits as people write them into files. The first byte says which;
// what is understood and printed is understood again, and as the same.
#include <string>

#include "absl/strings/str_cat.h"
#include "core/plans/plan_text.h"
#include "core/rules/data_file.h"
#include "core/rules/limit_file.h"
#include "core/rules/rule_book.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {
namespace {

absl::Status TryPlan(absl::string_view text) {
  const auto plan = plans::ParsePlan(text);
  if (!plan.ok())
    return Promise(absl::IsInvalidArgument(plan.status()), "no other error",
                   plan.status().ToString());
  const std::string printed = plans::PrintPlan(*plan);
  const auto again = plans::ParsePlan(printed);
  return Promise(again.ok() && again->SerializeAsString() == plan->SerializeAsString(),
                 "a plan survives being printed", absl::StrCat(text, "\n--- printed\n", printed));
}

absl::Status TryRule(absl::string_view text) {
  static const auto* const kBook =
      new absl::StatusOr<rules::RuleBook>(rules::ReadRuleFiles(rules::RuleFiles()));
  if (!kBook->ok()) return kBook->status();
  const auto rule = rules::ReadHouseRule("house.textproto", text, **kBook);
  if (!rule.ok())
    return Promise(absl::IsInvalidArgument(rule.status()), "no other error",
                   rule.status().ToString());
  rules::KnownRule known;
  known.rule = *rule;
  known.house = true;
  const std::string printed = rules::WriteHouseRule(known);
  const auto again = rules::ReadHouseRule("again.textproto", printed, **kBook);
  return Promise(again.ok() && again->SerializeAsString() == rule->SerializeAsString(),
                 "a rule survives being printed", absl::StrCat(text, "\n--- printed\n", printed));
}

absl::Status TryLimits(absl::string_view text) {
  const auto limits = rules::ReadLimitFile({.name = "limits.textproto", .text = text, .wire = {}});
  if (limits.ok()) return absl::OkStatus();
  return Promise(absl::IsInvalidArgument(limits.status()), "no other error",
                 limits.status().ToString());
}

}  // namespace

absl::Status TryInput(absl::string_view input) {
  if (input.empty()) return absl::OkStatus();
  const absl::string_view text = input.substr(1);
  switch (input.front()) {
    case 'p':
      return TryPlan(text);
    case 'r':
      return TryRule(text);
    case 'l':
      return TryLimits(text);
    default:
      return absl::OkStatus();
  }
}

}  // namespace rundlet::testing
