// rundlet due: what is to be done today and in the days to come, and what stands in its way.
#include <algorithm>
#include <tuple>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/time/civil_time.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/plan_words.h"

namespace rundlet::client {
namespace {

using plans::PlanState;
using plans::StepState;
using plans::StepStatus;

constexpr int kMaxDays = 366;

// A step that is to be done on a day.
struct DueLine {
  const PlanState* plan = nullptr;
  const StepState* step = nullptr;
  absl::CivilDay day;
  std::string vessels;
};

class Due : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--days", days_, "how many days ahead; else 7")->type_name("NUMBER");
    app.add_option("--who", who_, "only what is this person's, or anybody's")->type_name("MEMBER");
    app.add_option("--vessel", vessel_, "only what concerns this vessel")->type_name("VESSEL");
  }
  absl::Status Show(Cellar& cellar, Session& session) override;

 private:
  bool Concerns(const Fold& fold, const PlanState& plan, const StepState& step) const;
  std::vector<DueLine> Collect(const Fold& fold, const std::vector<PlanState>& plans, int days,
                               const Session& session) const;
  void Print(const Fold& fold, const std::vector<DueLine>& lines, Session& session) const;

  std::string days_, who_, vessel_;
};

absl::CivilDay DayOf(int64_t at_us, const Session& session) {
  return absl::CivilDay(session.env.zone.At(absl::FromUnixMicros(at_us)).cs);
}

absl::CivilDay Today(const Session& session) { return DayOf(session.env.Now().at_us, session); }

bool Due::Concerns(const Fold& fold, const PlanState& plan, const StepState& step) const {
  if (!who_.empty() && !step.step.person().empty() &&
      !absl::EqualsIgnoreCase(step.step.person(), who_)) {
    return false;
  }
  if (vessel_.empty()) return true;
  return std::any_of(plan.vessels.begin(), plan.vessels.end(), [&](Handle vessel) {
    return absl::EqualsIgnoreCase(fold.directory().NameOf(vessel, fold.sequence()), vessel_);
  });
}

std::vector<DueLine> Due::Collect(const Fold& fold, const std::vector<PlanState>& plans, int days,
                                  const Session& session) const {
  std::vector<DueLine> lines;
  const absl::CivilDay today = Today(session);
  for (const PlanState& plan : plans) {
    if (!plan.running()) continue;
    for (const StepState& step : plan.steps) {
      // What waits for another step has no day yet.
      if (step.by != kNone || step.status == StepStatus::kLater) continue;
      if (!Concerns(fold, plan, step)) continue;
      const absl::CivilDay day =
          DayOf(step.status == StepStatus::kDue ? step.due_since_us : step.due_at_us, session);
      if (day - today >= days) continue;
      lines.push_back({&plan, &step, day, VesselNames(fold, plan.vessels)});
    }
  }
  std::stable_sort(lines.begin(), lines.end(), [&](const DueLine& a, const DueLine& b) {
    const auto key = [&](const DueLine& line) {
      return std::make_tuple(std::max(line.day, today), line.vessels, line.step->step.person(),
                             line.plan->name);
    };
    return key(a) < key(b);
  });
  return lines;
}

std::string DayText(absl::CivilDay day, absl::CivilDay today) {
  if (day < today) return absl::StrCat("since ", absl::FormatCivilTime(day));
  if (day == today) return "today";
  if (day == today + 1) return "tomorrow";
  return absl::FormatCivilTime(day);
}

void Due::Print(const Fold& fold, const std::vector<DueLine>& lines, Session& session) const {
  const absl::CivilDay today = Today(session);
  Table table({"Day", "Vessels", "Who", "What", "State", "Step", "Plan"});
  size_t due = 0, blocked = 0;
  for (const DueLine& line : lines) {
    due += line.step->status == StepStatus::kDue ? 1 : 0;
    blocked += line.step->status == StepStatus::kBlocked ? 1 : 0;
    table.Add({DayText(line.day, today), line.vessels, line.step->step.person(),
               line.step->step.title(), std::string(StatusWord(line.step->status)),
               line.step->step.key(), line.plan->name});
  }
  session.out() << table.Print(session.columns());
  for (const DueLine& line : lines) {
    std::string text;
    for (const plans::DoseNow& dose : line.step->doses)
      absl::StrAppend(&text, "  into ", DoseText(fold, dose), "\n");
    for (const plans::GateBlock& block : line.step->blocks) {
      absl::StrAppend(&text, "  needs ", block.text, "\n");
      if (const std::string command = CommandOf(fold, block); !command.empty())
        absl::StrAppend(&text, "    ", command, "\n");
    }
    const std::string command = CommandOf(fold, *line.plan, *line.step);
    if (line.step->status == StepStatus::kDue && !command.empty())
      absl::StrAppend(&text, "    ", command, "\n");
    if (!text.empty()) {
      session.out() << "\n" << line.step->step.key() << " of " << line.plan->name << "\n" << text;
    }
  }
  session.out() << "\n"
                << due << " due, " << blocked << " blocked; what to mind: rundlet plan show PLAN\n";
}

absl::Status Due::Show(Cellar& cellar, Session& session) {
  int days = 7;
  if (!days_.empty() && (!absl::SimpleAtoi(days_, &days) || days < 1 || days > kMaxDays))
    return Usage(absl::StrCat("--days: write a number from 1 to ", kMaxDays));
  const Fold& fold = *cellar.fold;
  const std::vector<PlanState> plans = plans::PlansOf(fold, session.env.Now().at_us);
  const std::vector<DueLine> lines = Collect(fold, plans, days, session);
  if (json()) {
    std::vector<std::string> items;
    for (const DueLine& line : lines) {
      items.push_back(JsonObject()
                          .Text("day", absl::FormatCivilTime(line.day))
                          .Text("vessels", line.vessels)
                          .Raw("plan", JsonOfPlan(fold, *line.plan, false))
                          .Raw("step", JsonOfStep(fold, *line.plan, *line.step))
                          .Finish());
    }
    session.out() << JsonObject().Raw("due", JsonArray(items)).Finish() << "\n";
    return absl::OkStatus();
  }
  if (lines.empty()) {
    session.out() << "nothing is due within " << days << (days == 1 ? " day\n" : " days\n");
    return absl::OkStatus();
  }
  Print(fold, lines, session);
  return absl::OkStatus();
}

}  // namespace

std::unique_ptr<Command> MakeDue() { return std::make_unique<Due>(); }

}  // namespace rundlet::client
