#ifndef RUNDLET_CLIENT_CLI_RULE_GATE_H_
#define RUNDLET_CLIENT_CLI_RULE_GATE_H_

#include <ostream>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "client/cli/json.h"
#include "core/fold/fold.h"
#include "core/rules/findings.h"

namespace rundlet::client {

// Tells which rules a change breaks that were whole before it: looks at the wines that it names
// before the change is in the fold, and again afterwards.
class RuleGate {
 public:
  // `drafts` are not in the fold yet.
  RuleGate(const Fold& fold, const std::vector<v1::Entry>& drafts, int64_t now_us);

  // The fold has taken the entries of the rows `written` in; `vessels` hold something else by them.
  // What a wine brings along from another vessel is not new, nor is a note that stood there before.
  std::vector<rules::Finding> NewIn(const Fold& fold, const std::vector<v1::Entry>& drafts,
                                    const std::vector<RowId>& written,
                                    const std::vector<Handle>& vessels) const;

 private:
  using Key = std::tuple<std::string, std::string, RowId>;  // rule, limit, cause

  const int64_t now_us_;
  std::set<Handle> things_;
  std::set<Key> before_;
  std::set<std::pair<std::string, Handle>> noted_;
};

// Whether one of them is a stop.
bool AnyStop(const std::vector<rules::Finding>& findings);

// For commands that write: "stop: ..." or "note: ..." a finding.
void PrintFindings(const std::vector<rules::Finding>& findings, std::ostream& out);
std::string FindingsJson(const Fold& fold, const std::vector<rules::Finding>& findings);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_RULE_GATE_H_
