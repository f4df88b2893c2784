#include "client/cli/rule_gate.h"

#include <algorithm>

#include "core/fold/act.h"
#include "core/oenology/caution.h"

namespace rundlet::client {
namespace {

bool NamesAThing(Role role) {
  return role == Role::kVessel || role == Role::kSubject || role == Role::kDraw ||
         role == Role::kFill || role == Role::kBottling || role == Role::kAbout;
}

void AddOfRow(const Fold& fold, const std::string& entry_id, std::set<Handle>& things) {
  const auto id = Uuid::FromBytes(entry_id);
  const RowId row = id.ok() ? fold.sequence().Find(*id) : kNone;
  if (row == kNone) return;
  for (const Line& line : fold.sequence().lines(fold.sequence().row(row))) {
    if (NamesAThing(line.role)) things.insert(line.handle);
  }
}

// The vessels and runs that the drafts name, or that what they void or amend named.
std::set<Handle> ThingsOf(const Fold& fold, const std::vector<v1::Entry>& drafts) {
  std::set<Handle> things;
  for (const v1::Entry& draft : drafts) {
    Interner interner;
    Commodities commodities;
    for (const Line& line : MakeAct(draft, interner, commodities).lines) {
      if (NamesAThing(line.role)) things.insert(fold.interner().Find(interner.id(line.handle)));
    }
    if (draft.has_void_()) AddOfRow(fold, draft.void_().target_id(), things);
    if (draft.has_amendment()) AddOfRow(fold, draft.amendment().target_id(), things);
  }
  std::erase_if(things, [&fold](Handle thing) {
    const auto kind = fold.directory().kind(thing);
    return kind != v1::Thing::kVessel && kind != v1::Thing::kBottling;
  });
  return things;
}

}  // namespace

RuleGate::RuleGate(const Fold& fold, const std::vector<v1::Entry>& drafts, int64_t now_us)
    : now_us_(now_us), things_(ThingsOf(fold, drafts)) {
  if (things_.empty()) return;
  const rules::Inspector inspector(fold, now_us, rules::Reach::kFew);
  for (const Handle thing : things_) {
    for (const rules::Finding& finding : inspector.Of(thing)) {
      before_.insert({finding.rule_id, finding.limit_id, finding.entry});
      noted_.insert({finding.rule_id, thing});
    }
  }
}

std::vector<rules::Finding> RuleGate::NewIn(const Fold& fold, const std::vector<v1::Entry>& drafts,
                                            const std::vector<RowId>& written,
                                            const std::vector<Handle>& vessels) const {
  std::set<Handle> things = ThingsOf(fold, drafts);
  things.insert(vessels.begin(), vessels.end());
  std::vector<rules::Finding> fresh;
  if (things.empty()) return fresh;
  const rules::Inspector inspector(fold, now_us_, rules::Reach::kFew);
  for (const Handle thing : things) {
    for (rules::Finding& finding : inspector.Of(thing)) {
      const bool own = std::find(written.begin(), written.end(), finding.entry) != written.end();
      const bool seen_before = things_.contains(thing);
      if (before_.contains({finding.rule_id, finding.limit_id, finding.entry})) continue;
      if (!own && !seen_before) continue;
      if (finding.severity == rules::v1::SEVERITY_NOTE && noted_.contains({finding.rule_id, thing}))
        continue;
      fresh.push_back(std::move(finding));
    }
  }
  std::stable_sort(fresh.begin(), fresh.end(),
                   [](const auto& a, const auto& b) { return a.severity < b.severity; });
  return fresh;
}

bool AnyStop(const std::vector<rules::Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(), [](const rules::Finding& finding) {
    return finding.severity == rules::v1::SEVERITY_STOP;
  });
}

void PrintFindings(const std::vector<rules::Finding>& findings, std::ostream& out) {
  bool legal = false;
  for (const rules::Finding& finding : findings) {
    const bool stop = finding.severity == rules::v1::SEVERITY_STOP;
    out << (stop ? "stop: " : "note: ") << finding.text << " (" << finding.rule_id << ")\n";
    legal = legal || finding.legal;
  }
  if (legal) out << oenology::CautionText(oenology::Caution::kLegalCeiling) << "\n";
}

std::string FindingsJson(const Fold& fold, const std::vector<rules::Finding>& findings) {
  std::vector<std::string> items;
  for (const rules::Finding& finding : findings) {
    items.push_back(JsonObject()
                        .Text("rule_id", finding.rule_id)
                        .Text("limit_id", finding.limit_id)
                        .Text("severity", rules::Name(finding.severity))
                        .Text("thing_id", fold.interner().id(finding.thing).ToString())
                        .Text("thing", fold.directory().NameOf(finding.thing, fold.sequence()))
                        .Text("entry_id", fold.sequence().row(finding.entry).id.ToString())
                        .Text("text", finding.text)
                        .Text("reason", finding.reason)
                        .Text("lifted_by", finding.lifted_by)
                        .Text("source", finding.source)
                        .Text("anyway", finding.anyway)
                        .Finish());
  }
  return JsonArray(items);
}

}  // namespace rundlet::client
