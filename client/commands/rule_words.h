#ifndef RUNDLET_CLIENT_COMMANDS_RULE_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_RULE_WORDS_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "core/rules/rule_book.h"

namespace rundlet::client {

// Rules of the program that the cellar has let go.
std::vector<const rules::KnownRule*> RulesLetGo(const rules::RuleBook& book);

// NotFound, with the rules of the book whose ids are near.
absl::Status NoSuchRule(const rules::RuleBook& book, const std::string& id);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_RULE_WORDS_H_
