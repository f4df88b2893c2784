// rundlet plan start, plan templates: a plan from a template of ours or from a file.
#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "client/cli/near.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/plan_words.h"
#include "core/plans/plan_text.h"
#include "core/plans/templates.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr size_t kMaxFileBytes = 256 * 1024;

const plans::TemplateText* FindTemplate(absl::string_view name) {
  for (const plans::TemplateText& text : plans::Templates()) {
    if (text.name == name) return &text;
  }
  return nullptr;
}

absl::Status NoSuchTemplate(absl::string_view name) {
  std::vector<std::string> names;
  for (const plans::TemplateText& text : plans::Templates()) names.emplace_back(text.name);
  return absl::NotFoundError(absl::StrCat("no template and no file is called '", name, "': write ",
                                          Enumerate(names), ", or the path of a file"));
}

// A template of ours by its name, else a file by its path.
absl::StatusOr<v1::PlanStarted> ReadPlan(const std::string& from) {
  if (const plans::TemplateText* text = FindTemplate(from); text != nullptr) {
    auto plan = plans::ParsePlan(text->text);
    if (plan.ok()) plan->set_template_name(from);
    return plan;
  }
  const auto text = ReadFile(from);
  if (absl::IsNotFound(text.status())) return NoSuchTemplate(from);
  if (!text.ok()) return text.status();
  if (text->size() > kMaxFileBytes)
    return Usage(absl::StrCat(from, " is far too long for a plan: is it the right file?"));
  auto plan = plans::ParsePlan(*text);
  if (!plan.ok()) return Usage(absl::StrCat(from, ":\n", plan.status().message()));
  plan->set_template_name(from.substr(from.rfind('/') + 1));
  return plan;
}

// plan start "Harrow White" --from white --name "Harrow 1"
class PlanStart : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    auto plan = ReadPlan(from_);
    if (!plan.ok()) return plan.status();
    const auto lot = planner.Named(v1::Thing::kLot, lot_);
    if (!lot.ok()) {
      if (!absl::IsNotFound(lot.status())) return lot.status();
      return absl::NotFoundError(Sentences(
          lot.status().message(), absl::StrCat("A new one: rundlet lot new ", ShellWord(lot_))));
    }
    plan->set_name(name_.empty() ? absl::StrCat(plan->name(), ": ", planner.NameOf(*lot)) : name_);
    for (const plans::PlanState& other : plans::PlansOf(planner.fold(), planner.now().at_us)) {
      if (other.running() && other.name == plan->name()) {
        return absl::FailedPreconditionError(
            absl::StrCat("a plan called '", other.name,
                         "' is running already: give this one another --name, or "
                         "end that one: rundlet plan end ",
                         ShellWord(other.name)));
      }
    }
    const Uuid plan_id = planner.NewId();
    plan->set_plan_id(plan_id.ToBytes());
    plan->set_lot_id(lot->ToBytes());
    change.details.emplace_back("plan_id", JsonText(plan_id.ToString()));
    change.details.emplace_back("plan", JsonText(plan->name()));
    *change.Add().mutable_plan_started() = *std::move(plan);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("lot", lot_, "the lot that it is for")->type_name("LOT")->required();
    app.add_option("--from", from_, "a template (rundlet plan templates), or a file of your own")
        ->type_name("TEMPLATE|FILE")
        ->required();
    app.add_option("--name", name_, "what it is called; else by the template and the lot")
        ->type_name("NAME");
  }

 private:
  std::string lot_, from_, name_;
};

// plan templates, plan templates white
class PlanTemplates : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("template", name_, "which, to print it")->type_name("TEMPLATE");
    app.add_flag("--json", json_, "print JSON");
  }
  absl::Status Run(Session& session) override {
    if (!name_.empty() && FindTemplate(name_) == nullptr) return NoSuchTemplate(name_);
    std::vector<std::string> items;
    Table table({"Template", "Plan", ">Steps"});
    for (const plans::TemplateText& text : plans::Templates()) {
      if (!name_.empty() && text.name != name_) continue;
      const auto plan = plans::ParsePlan(text.text);
      if (!plan.ok()) return plan.status();
      items.push_back(JsonObject()
                          .Text("template", text.name)
                          .Text("plan", plan->name())
                          .Number("steps", plan->steps_size())
                          .Text("text", text.text)
                          .Finish());
      table.Add({std::string(text.name), plan->name(), absl::StrCat(plan->steps_size())});
      if (!name_.empty() && !json_) session.out() << text.text;
    }
    if (json_) {
      session.out() << JsonObject().Raw("templates", JsonArray(items)).Finish() << "\n";
    } else if (name_.empty()) {
      session.out() << table.Print(session.columns())
                    << "\nTo make it yours: rundlet plan templates white > mine.plan, then "
                       "--from mine.plan\n";
    }
    return absl::OkStatus();
  }

 private:
  std::string name_;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakePlanStart() { return std::make_unique<PlanStart>(); }
std::unique_ptr<Command> MakePlanTemplates() { return std::make_unique<PlanTemplates>(); }

}  // namespace rundlet::client
