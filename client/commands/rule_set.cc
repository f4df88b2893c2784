// rundlet rule set, rule drop: rules of the house.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "client/cli/near.h"
#include "client/commands/commands.h"
#include "client/commands/rule_words.h"
#include "core/rules/words.h"

namespace rundlet::client {
namespace {

constexpr size_t kMaxFileBytes = 64 * 1024;

std::string GroupNames(const rules::RuleBook& book) {
  std::vector<std::string> names;
  for (const rules::v1::Group& group : book.groups) names.push_back(group.id());
  std::sort(names.begin(), names.end());
  return Enumerate(names);
}

// rule set no-bentonite.textproto
class RuleSet : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto text = ReadFile(path_);
    if (!text.ok()) return text.status();
    if (text->size() > kMaxFileBytes)
      return Usage(absl::StrCat(path_, " is far too long for a rule: is it the right file?"));
    const rules::RuleBook book = rules::RulesOf(planner.fold());
    auto rule = rules::ReadHouseRule(path_, *text, book);
    if (!rule.ok()) return Refuse(rule.status(), book);
    const bool replaces = rules::FindRule(book, rule->id()) != nullptr;
    change.warnings.push_back(absl::StrCat(
        replaces ? "it stands in the place of the rule of that name: " : "a new rule, ",
        rules::Name(rule->severity()), ": ", rule->text()));
    change.details.emplace_back("rule_id", JsonText(rule->id()));
    v1::HouseRuleSet& set = *change.Add().mutable_house_rule_set();
    set.set_rule_id(rule->id());
    set.set_text(*text);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("file", path_,
                   "a rule in the form that 'rundlet rule show' prints; one with the id of another "
                   "takes its place")
        ->type_name("FILE")
        ->required();
  }

 private:
  static absl::Status Refuse(const absl::Status& status, const rules::RuleBook& book) {
    std::string text(status.message());
    if (text.find("there is no group") != std::string::npos)
      absl::StrAppend(&text, "; the groups are ", GroupNames(book));
    return Usage(text);
  }

  std::string path_;
};

// rule drop fining-allergen --reason "no wine of ours is sold"
class RuleDrop : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const rules::RuleBook book = rules::RulesOf(planner.fold());
    const rules::KnownRule* known = rules::FindRule(book, id_);
    if (known == nullptr) {
      if (rules::FindRule(rules::BuiltInRules(), id_) != nullptr)
        return absl::FailedPreconditionError(
            absl::StrCat("the rule ", id_, " counts no longer already"));
      return NoSuchRule(book, id_);
    }
    if (known->rule.severity() == rules::v1::SEVERITY_STOP)
      change.cautions.push_back(absl::StrCat(
          "it keeps people from harm, and lets go for everybody: ", known->rule.reason()));
    change.warnings.push_back(
        "to have it again: rundlet rule set with what 'rundlet rule show' prints, or void this "
        "entry");
    change.details.emplace_back("rule_id", JsonText(id_));
    v1::Entry& entry = change.Add();
    entry.set_note(reason_);
    entry.mutable_house_rule_set()->set_rule_id(id_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("rule", id_, "its id, as in: rundlet rule list")->type_name("RULE")->required();
    app.add_option("--reason", reason_, "why it shall count no longer")
        ->required()
        ->check(NotEmpty());
  }

 private:
  std::string id_, reason_;
};

}  // namespace

std::vector<const rules::KnownRule*> RulesLetGo(const rules::RuleBook& book) {
  std::vector<const rules::KnownRule*> dropped;
  for (const rules::KnownRule& known : rules::BuiltInRules().rules) {
    if (rules::FindRule(book, known.rule.id()) == nullptr) dropped.push_back(&known);
  }
  return dropped;
}

absl::Status NoSuchRule(const rules::RuleBook& book, const std::string& id) {
  std::vector<std::string> ids;
  for (const rules::KnownRule& known : book.rules) ids.push_back(known.rule.id());
  const std::string near = NearWords(ids, id);
  return absl::NotFoundError(absl::StrCat("there is no rule '", id, "'",
                                          near.empty() ? "" : absl::StrCat(": is it ", near, "?"),
                                          " All of them: rundlet rule list"));
}

std::unique_ptr<Command> MakeRuleSet() { return std::make_unique<RuleSet>(); }
std::unique_ptr<Command> MakeRuleDrop() { return std::make_unique<RuleDrop>(); }

}  // namespace rundlet::client
