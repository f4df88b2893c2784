#ifndef RUNDLET_CORE_RULES_FINDINGS_H_
#define RUNDLET_CORE_RULES_FINDINGS_H_

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "core/fold/fold.h"
#include "core/rules/materials.h"
#include "core/rules/rule_book.h"
#include "core/rules/wine.h"

// Which rules a cellar's wines break. Findings follow from the set of entries, the time and this
// program alone, whatever the order of arrival; they lift when an entry is amended or another one
// makes it good. A finding never changes what was done.
namespace rundlet::rules {

struct Finding {
  std::string rule_id;
  std::string limit_id;  // of a legal limit: which
  v1::Severity severity = v1::SEVERITY_UNSPECIFIED;
  Handle thing = kNoHandle;  // the vessel, or the bottling
  RowId entry = kNone;       // what caused it
  std::string text;          // with its numbers
  std::string reason;
  std::string source;     // text and article and how far to trust it, or "common practice"
  std::string lifted_by;  // what makes it good
  std::string anyway;     // the reason that a person gave; empty where nobody did
  bool legal = false;     // it tells of a legal limit
};

// Holds the rules against the wines of a fold. Good as long as the fold does not change. Not safe
// to share between threads.
class Inspector {
 public:
  // For a few vessels and bottlings little is looked at; lots, and the whole, want all.
  Inspector(const Fold& fold, int64_t now_us, Reach reach = Reach::kAll);

  // Of a vessel, a bottling, or a lot: of everything that holds wine of it. The gravest first, then
  // in fold order of what caused them, then by rule.
  std::vector<Finding> Of(Handle thing) const;

  // Of all vessels with wine and all runs of which bottles are left - or, with `drunk`, all runs.
  std::vector<Finding> OfAll(bool drunk = false) const;

  const RuleBook& book() const { return book_; }

 private:
  void Judge(const Wine& wine, std::vector<Finding>& findings) const;
  void JudgeThing(Handle thing, std::vector<Finding>& findings) const;
  void Sort(std::vector<Finding>& findings) const;

  const Fold& fold_;
  const int64_t now_us_;
  const RuleBook book_;
  const WineIndex index_;
  const Materials materials_;
  const std::vector<std::string> jurisdictions_;
};

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_FINDINGS_H_
