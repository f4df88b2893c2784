// rundlet rule list, rule show: what the wines are held against.
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/near.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/rule_words.h"

namespace rundlet::client {
namespace {

std::string JsonOf(const rules::KnownRule& known) {
  return JsonObject()
      .Text("rule_id", known.rule.id())
      .Text("severity", rules::Name(known.rule.severity()))
      .Text("text", known.rule.text())
      .Text("reason", known.rule.reason())
      .Text("lifted_by", known.rule.lifted_by())
      .Text("source", known.source)
      .Text("review_on", known.review_on)
      .Bool("house", known.house)
      .Finish();
}

std::vector<std::string> IdsOf(const std::vector<const rules::KnownRule*>& rules) {
  std::vector<std::string> ids;
  for (const rules::KnownRule* known : rules) ids.push_back(known->rule.id());
  return ids;
}

class RuleList : public ViewCommand {
 protected:
  absl::Status Show(Cellar& cellar, Session& session) override {
    const rules::RuleBook book = rules::RulesOf(*cellar.fold);
    const std::vector<std::string> dropped = IdsOf(RulesLetGo(book));
    if (json()) {
      std::vector<std::string> items;
      for (const rules::KnownRule& known : book.rules) items.push_back(JsonOf(known));
      session.out() << JsonObject()
                           .Raw("rules", JsonArray(items))
                           .Raw("dropped", JsonTexts(dropped))
                           .Raw("faults", JsonTexts(book.faults))
                           .Finish()
                    << "\n";
      return absl::OkStatus();
    }
    Table table({"Rule", "", "What is found", ""});
    for (const rules::KnownRule& known : book.rules) {
      table.Add({known.rule.id(), std::string(rules::Name(known.rule.severity())),
                 known.rule.text(), known.house ? "(of the house)" : ""});
    }
    session.out() << table.Print(session.columns());
    if (!dropped.empty()) session.out() << "let go in this cellar: " << Enumerate(dropped) << "\n";
    for (const std::string& fault : book.faults) session.err() << "note: " << fault << "\n";
    return absl::OkStatus();
  }
};

// rule show fining-degassed-first > degassed.textproto
class RuleShow : public ViewCommand {
 protected:
  bool ForPeople() const override { return false; }
  void DeclareWords(CLI::App& app) override {
    app.add_option("rule", id_, "its id, as in: rundlet rule list")->type_name("RULE")->required();
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const rules::RuleBook book = rules::RulesOf(*cellar.fold);
    const rules::KnownRule* known = rules::FindRule(book, id_);
    // One that was let go is shown as the program has it, so that it can be set again.
    if (known == nullptr) known = rules::FindRule(rules::BuiltInRules(), id_);
    if (known == nullptr) return NoSuchRule(book, id_);
    session.out() << (json() ? absl::StrCat(JsonOf(*known), "\n") : rules::WriteHouseRule(*known));
    return absl::OkStatus();
  }

 private:
  std::string id_;
};

}  // namespace

std::unique_ptr<Command> MakeRuleList() { return std::make_unique<RuleList>(); }
std::unique_ptr<Command> MakeRuleShow() { return std::make_unique<RuleShow>(); }

}  // namespace rundlet::client
