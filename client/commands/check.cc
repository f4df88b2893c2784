// rundlet check: which rules the wines break.
#include "absl/strings/str_cat.h"
#include "client/cli/planner.h"
#include "client/cli/rule_gate.h"
#include "client/commands/commands.h"
#include "client/commands/rule_words.h"
#include "core/oenology/caution.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

// check [C1 | "Harrow White"] [--all] [--explain]
class Check : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "a vessel, a lot or a bottling run; everything if left out")
        ->type_name("VESSEL|LOT|BOTTLING");
    app.add_flag("--all", all_, "runs whose bottles are gone as well");
    app.add_flag("--explain", explain_, "why, what makes it good, and where the rule is from");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    Handle thing = kNoHandle;
    rules::Reach reach = rules::Reach::kAll;
    if (!thing_.empty()) {
      const auto found = FindAnything(fold, thing_);
      if (!found.ok()) return found.status();
      thing = *found;
      const auto kind = fold.directory().kind(thing);
      if (kind != v1::Thing::kVessel && kind != v1::Thing::kLot && kind != v1::Thing::kBottling)
        return Usage(absl::StrCat("'", thing_, "' holds no wine: name a vessel, a lot or a run"));
      if (kind != v1::Thing::kLot) reach = rules::Reach::kFew;
    }
    const rules::Inspector inspector(fold, session.env.Now().at_us, reach);
    const std::vector<rules::Finding> findings =
        thing_.empty() ? inspector.OfAll(all_) : inspector.Of(thing);
    for (const std::string& fault : inspector.book().faults)
      session.err() << "note: " << fault << "\n";
    if (json()) {
      session.out() << JsonObject()
                           .Raw("findings", FindingsJson(fold, findings))
                           .Raw("faults", JsonTexts(inspector.book().faults))
                           .Finish()
                    << "\n";
      return absl::OkStatus();
    }
    Print(fold, findings, session.out());
    // Whoever reads that nothing is broken must know what nobody looked for.
    for (const rules::KnownRule* known : RulesLetGo(inspector.book())) {
      if (known->rule.severity() == rules::v1::SEVERITY_STOP)
        session.out() << "not checked, as this cellar let it go: " << known->rule.id() << " ("
                      << known->rule.reason() << ")\n";
    }
    return absl::OkStatus();
  }

 private:
  void Print(const Fold& fold, const std::vector<rules::Finding>& findings,
             std::ostream& out) const {
    bool legal = false;
    for (const rules::Finding& finding : findings) {
      const Row& row = fold.sequence().row(finding.entry);
      out << rules::Name(finding.severity) << "  " << finding.text << "\n      " << finding.rule_id
          << ", by " << ShortId(row.id) << " of "
          << FormatWhen({.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min})
          << "\n";
      if (!finding.anyway.empty()) out << "      done anyway: " << finding.anyway << "\n";
      if (explain_) {
        out << "      why: " << finding.reason << "\n      lifted by: " << finding.lifted_by
            << "\n      source: " << finding.source << "\n";
      }
      legal = legal || finding.legal;
    }
    if (findings.empty()) out << "no rule is broken by what is in the book\n";
    if (legal) out << oenology::CautionText(oenology::Caution::kLegalCeiling) << "\n";
  }

  std::string thing_;
  bool all_ = false;
  bool explain_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeCheck() { return std::make_unique<Check>(); }

}  // namespace rundlet::client
