// rundlet plan list, plan show, plan calendar: how far plans have come.
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/plan_words.h"
#include "core/plans/calendar.h"
#include "core/plans/plan_text.h"
#include "core/plans/plan_words.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

std::string Day(int64_t at_us, const Session& session) {
  return FormatWhenDay(WhenAt(absl::FromUnixMicros(at_us), session.env.zone));
}

std::string LotOf(const Fold& fold, const PlanState& plan) {
  return fold.directory().NameOf(plan.lot, fold.sequence());
}

bool IsNow(const StepState& step) {
  return step.status == StepStatus::kDue || step.status == StepStatus::kBlocked ||
         step.status == StepStatus::kWaiting;
}

class PlanList : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_flag("--all", all_, "also those that are finished or ended");
  }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    Table table({"Plan", "Lot", "Vessels", "Started", ">Done", "Next"});
    std::vector<std::string> items;
    for (const PlanState& plan : plans::PlansOf(fold, session.env.Now().at_us)) {
      if (!plan.running() && !all_) continue;
      items.push_back(JsonOfPlan(fold, plan, false));
      size_t over = 0;
      std::string next = plan.ended() ? "ended" : plan.finished() ? "finished" : "";
      for (const StepState& step : plan.steps) {
        if (step.by != kNone) ++over;
        if (next.empty() && IsNow(step))
          next = absl::StrCat(step.step.key(), ", ", StatusWord(step.status));
      }
      table.Add({plan.name, LotOf(fold, plan), VesselNames(fold, plan.vessels),
                 Day(plan.started_at_us, session), absl::StrCat(over, "/", plan.steps.size()),
                 next});
    }
    if (json()) {
      session.out() << JsonObject().Raw("plans", JsonArray(items)).Finish() << "\n";
    } else if (table.empty()) {
      session.err() << "no plan is running. Begin one: rundlet plan start LOT --from TEMPLATE\n";
    } else {
      session.out() << table.Print(session.columns());
    }
    return absl::OkStatus();
  }

 private:
  bool all_ = false;
};

class PlanShow : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("plan", plan_, "the plan, or a lot that has one plan alone")
        ->type_name("PLAN")
        ->required();
    app.add_flag("--as-file", as_file_, "as the text of a file, to begin others from");
  }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const std::vector<PlanState> plans = plans::PlansOf(fold, session.env.Now().at_us);
    const auto plan = FindPlan(fold, plans, plan_);
    if (!plan.ok()) return plan.status();
    if (as_file_) {
      v1::PlanStarted text;
      text.set_name((*plan)->name);
      for (const StepState& step : (*plan)->steps) *text.add_steps() = step.step;
      session.out() << plans::PrintPlan(text);
    } else if (json()) {
      session.out() << JsonOfPlan(fold, **plan, true) << "\n";
    } else {
      Print(fold, **plan, session);
    }
    return absl::OkStatus();
  }

 private:
  static void Print(const Fold& fold, const PlanState& plan, Session& session);
  static void PrintDetails(const Fold& fold, const PlanState& plan, const StepState& step,
                           Session& session);

  std::string plan_;
  bool as_file_ = false;
};

// When it was done, or is due; "about" where that is a guess.
std::string WhenOf(const StepState& step, const Session& session) {
  if (step.by != kNone) return Day(step.over_at_us, session);
  return absl::StrCat(step.status == StepStatus::kLater ? "about " : "",
                      Day(step.due_at_us, session));
}

void PlanShow::Print(const Fold& fold, const PlanState& plan, Session& session) {
  session.out() << plan.name << ", for " << LotOf(fold, plan)
                << (plan.vessels.empty() ? ", which is in no vessel"
                                         : absl::StrCat(" in ", VesselNames(fold, plan.vessels)))
                << ", started " << Day(plan.started_at_us, session) << "\n";
  Table table({"Step", "What", "State", "When", "Who", "By"});
  for (const StepState& step : plan.steps) {
    std::string by = step.by == kNone ? "" : ShortId(fold.sequence().row(step.by).id);
    if (!step.reason.empty()) absl::StrAppend(&by, ": ", step.reason);
    table.Add({step.step.key(), step.step.title(), std::string(StatusWord(step.status)),
               WhenOf(step, session), step.step.person(), by});
  }
  session.out() << table.Print(session.columns());
  if (plan.ended()) {
    session.out() << "ended " << Day(plan.ended_at_us, session)
                  << (plan.end_reason.empty() ? "" : ": ") << plan.end_reason << "\n";
    return;
  }
  for (const StepState& step : plan.steps) {
    if (IsNow(step)) PrintDetails(fold, plan, step, session);
  }
}

void PlanShow::PrintDetails(const Fold& fold, const PlanState& plan, const StepState& step,
                            Session& session) {
  session.out() << "\n" << step.step.key() << ": " << step.step.title() << "\n";
  for (const plans::DoseNow& dose : step.doses)
    session.out() << "  into " << DoseText(fold, dose) << "\n";
  if (!step.step.text().empty()) {
    for (const absl::string_view line : absl::StrSplit(step.step.text(), '\n'))
      session.out() << "  " << line << "\n";
  }
  if (!step.done_in.empty())
    session.out() << "  begun in " << VesselNames(fold, step.done_in) << "\n";
  for (const plans::GateBlock& block : step.blocks) {
    session.out() << "  needs " << block.text << "\n";
    if (const std::string command = CommandOf(fold, block); !command.empty())
      session.out() << "    " << command << "\n";
  }
  if (const std::string command = CommandOf(fold, plan, step);
      step.status == StepStatus::kDue && !command.empty()) {
    session.out() << "  " << command << "\n";
  }
}

// plan calendar cellar.ics
class PlanCalendar : public ViewCommand {
 protected:
  bool ForPeople() const override { return false; }
  void DeclareWords(CLI::App& app) override {
    app.add_option("file", file_, "the file to write, such as cellar.ics; - prints it")
        ->type_name("FILE")
        ->required();
  }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const int64_t now_us = session.env.Now().at_us;
    const std::vector<plans::CalendarEvent> events =
        plans::EventsOf(fold, plans::PlansOf(fold, now_us), now_us, session.env.zone);
    const std::string& changed = fold.directory().settings().cellar_name();
    const std::string& name = changed.empty() ? cellar.store.device().cellar_name : changed;
    if (file_ == "-") {
      session.out() << plans::PrintCalendar(name, events, now_us);
      return absl::OkStatus();
    }
    if (absl::Status status = WritePrivateFile(file_, plans::PrintCalendar(name, events, now_us));
        !status.ok()) {
      return status;
    }
    if (json()) {
      session.out() << JsonObject()
                           .Text("file", file_)
                           .Number("events", static_cast<int64_t>(events.size()))
                           .Finish()
                    << "\n";
    } else {
      session.out() << "wrote " << events.size() << (events.size() == 1 ? " step" : " steps")
                    << " to " << file_ << "\n";
    }
    return absl::OkStatus();
  }

 private:
  std::string file_;
};

}  // namespace

std::unique_ptr<Command> MakePlanList() { return std::make_unique<PlanList>(); }
std::unique_ptr<Command> MakePlanShow() { return std::make_unique<PlanShow>(); }
std::unique_ptr<Command> MakePlanCalendar() { return std::make_unique<PlanCalendar>(); }

}  // namespace rundlet::client
