#ifndef RUNDLET_CORE_RULES_RULE_BOOK_H_
#define RUNDLET_CORE_RULES_RULE_BOOK_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"
#include "core/rules/data_file.h"
#include "rundlet/rules/v1/rule.pb.h"

// The rules of the trade that this program knows, and those of a cellar's own.
namespace rundlet::rules {

struct KnownRule {
  v1::Rule rule;
  std::string source;     // "common practice, no source", or text, article and how far to trust it
  std::string review_on;  // YYYY-MM-DD; empty for a rule of the house
  bool house = false;     // written by the cellar
};

struct RuleBook {
  std::vector<KnownRule> rules;  // ids are unique
  std::vector<v1::Group> groups;
  // What is wrong with rules of the house that cannot be read, a sentence each; they do not count.
  std::vector<std::string> faults;
};

// All files together. InvalidArgument names the file, and the line or the rule that is not whole:
// an id that is well formed and there once, a severity, a text without words in braces that its
// kind does not fill in, a reason, a kind with its parameters, groups that exist.
absl::StatusOr<RuleBook> ReadRuleFiles(absl::Span<const DataFile> files);

// The files that are built in, read at first use.
const RuleBook& BuiltInRules();

// Those, with what the cellar has set: a rule of its own, another text for one of the program's, or
// one that counts no longer. The latest in fold order counts.
RuleBook RulesOf(const Fold& fold);

// The rule of that id, or null.
const KnownRule* FindRule(const RuleBook& book, absl::string_view id);

// A rule of the house as a person writes it: the text form of rundlet.rules.v1.Rule.
// InvalidArgument names the line and the column where it cannot be read, with `name` before them,
// or else what the rule lacks, and groups that `book` does not know.
absl::StatusOr<v1::Rule> ReadHouseRule(absl::string_view name, absl::string_view text,
                                       const RuleBook& book);

// A rule in that form, to be read, edited and set again; where it is from stands in a comment.
std::string WriteHouseRule(const KnownRule& known);

absl::string_view Name(v1::Severity severity);  // "stop"

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_RULE_BOOK_H_
