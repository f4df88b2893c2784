// rundlet dose blend, rundlet dose top: which wines, and how much of each.
#include <algorithm>
#include <set>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/commands/commands.h"
#include "client/dose/blend_case.h"
#include "client/numbers/inputs.h"
#include "client/numbers/print_answer.h"
#include "core/oenology/answers/blend_answer.h"
#include "core/quantity/format.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// A view that shows an answer, with --explain.
class AnswerCommand : public ViewCommand {
 protected:
  virtual absl::StatusOr<oenology::Answer> Work(const Planner& planner) = 0;
  // What to type next, or nothing.
  virtual std::string Next(const Planner& planner) const = 0;

  void DeclareWords(CLI::App& app) override {
    app.add_flag("--explain", explain_, "how the numbers come about, and their sources");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Planner planner(cellar, Moment::Latest(cellar), session.env.Now(), session.env);
    const auto answer = Work(planner);
    if (!answer.ok()) return answer.status();
    PrintAnswer(*answer, {.json = json(), .explain = explain_}, session);
    if (const std::string next = Next(planner); !json() && !next.empty())
      session.out() << "to do it: " << next << "\n";
    return absl::OkStatus();
  }

 private:
  bool explain_ = false;
};

// dose blend C1 C2=5L C3 --volume 20L --alcohol 12..13 --ta 6
class DoseBlend : public AnswerCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("wines", wines_, "the vessels that can give: C1, or C2=5L at most")
        ->type_name("VESSEL[=VOLUME]")
        ->required();
    app.add_option("--volume", volume_, "of the blend: 20L")->type_name("VOLUME")->required();
    app.add_option("--alcohol", words_.alcohol, "12.5 to come close; 12..13 to stay within")
        ->type_name("RANGE");
    app.add_option("--ta", words_.acidity, "titratable acidity as tartaric, in the same way")
        ->type_name("RANGE");
    app.add_option("--sugar", words_.sugar, "sugar left")->type_name("RANGE");
    app.add_option("--total", words_.total_so2, "total SO2, such as ..120")->type_name("RANGE");
    AddList(app, "--cost", costs_, "what a litre of one costs: C1=2.40")->type_name("VESSEL=SUM");
    app.add_flag("--cheapest", cheapest_, "targets must be met; the cost shall be the least");
    AnswerCommand::DeclareWords(app);
  }

  absl::StatusOr<oenology::Answer> Work(const Planner& planner) override {
    oenology::BlendAsked asked;
    auto goals = GoalsOf(words_);
    if (!goals.ok()) return goals.status();
    if (goals->empty() && costs_.empty())
      return Usage("say what the blend shall be: --alcohol, --ta, --sugar, --total or --cost");
    asked.goals = *std::move(goals);
    const auto volume_l = ReadInput(InputKind::kVolumeL, volume_);
    if (!volume_l.ok()) return Usage(absl::StrCat("--volume: ", volume_l.status().message()));
    asked.volume_l = *volume_l;
    asked.aim = cheapest_ ? oenology::BlendAim::kLeastCost : oenology::BlendAim::kClosest;
    std::set<Uuid> seen;
    for (const std::string& word : wines_) {
      const auto vessel = planner.ReadVesselAmount(word);
      if (!vessel.ok()) return vessel.status();
      if (!seen.insert(vessel->vessel).second)
        return Usage(absl::StrCat("the wine of '", word, "' stands among the wines twice"));
      auto wine = WineFor(planner, *vessel, words_);
      if (!wine.ok()) return wine.status();
      asked.wines.push_back(*std::move(wine));
    }
    if (absl::Status status = ReadCosts(asked); !status.ok()) return status;
    const auto found = oenology::SolveBlend(asked);
    if (!found.ok()) return found.status();
    Remember(asked, *found);
    return oenology::AnswerBlend(asked, *found);
  }

  std::string Next(const Planner&) const override {
    return draws_.empty() ? "" : absl::StrCat("rundlet blend ", draws_, " --to VESSEL --lot NAME");
  }

 private:
  absl::Status ReadCosts(oenology::BlendAsked& asked) const {
    for (const std::string& word : costs_) {
      const NameAndValue split = SplitAtEquals(word);
      const auto cost = ReadInput(InputKind::kNumber, split.value);
      const auto wine = std::find_if(asked.wines.begin(), asked.wines.end(),
                                     [&](const auto& one) { return one.name == split.name; });
      if (!cost.ok() || wine == asked.wines.end())
        return Usage(absl::StrCat("--cost: write it like ", asked.wines[0].name, "=2.40"));
      wine->cost_per_l = *cost;
    }
    return absl::OkStatus();
  }

  // The draws as the blend command wants them.
  void Remember(const oenology::BlendAsked& asked, const oenology::BlendFound& found) {
    std::vector<std::string> draws;
    for (size_t i = 0; i < found.volumes_l.size(); ++i) {
      const auto volume_ml = static_cast<int64_t>(found.volumes_l[i] * 1000 + 0.5);
      if (volume_ml > 0)
        draws.push_back(absl::StrCat("--from '", asked.wines[i].name, "=", volume_ml, "mL'"));
    }
    draws_ = absl::StrJoin(draws, " ");
  }

  std::vector<std::string> wines_, costs_;
  std::string volume_, draws_;
  BlendWords words_;
  bool cheapest_ = false;
};

// dose top C1
class DoseTop : public AnswerCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    AnswerCommand::DeclareWords(app);
  }

  absl::StatusOr<oenology::Answer> Work(const Planner& planner) override {
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    const Fold& fold = planner.moment().fold();
    const Handle handle = fold.interner().Find(*vessel);
    const int64_t capacity_ul = planner.Find(*vessel)->vessel().capacity_ul();
    const oenology::ToppingWine wine = ToppingWineIn(planner, handle);
    if (capacity_ul == 0) {
      return absl::FailedPreconditionError(absl::StrCat("nobody has said what ", wine.name,
                                                        " holds: rundlet vessel change '",
                                                        wine.name, "' --capacity 20L"));
    }
    if (wine.volume_l <= 0)
      return absl::FailedPreconditionError(absl::StrCat(wine.name, " holds no wine"));
    std::vector<oenology::ToppingWine> candidates;
    for (const Handle other : ThingsByName(fold, v1::Thing::kVessel)) {
      if (other != handle && fold.state().holding(other).volume_ul > 0)
        candidates.push_back(ToppingWineIn(planner, other));
    }
    return oenology::AnswerTopping(static_cast<double>(capacity_ul) * 1e-6, wine, candidates);
  }

  std::string Next(const Planner&) const override { return ""; }

 private:
  std::string vessel_;
};

}  // namespace

std::unique_ptr<Command> MakeDoseBlend() { return std::make_unique<DoseBlend>(); }
std::unique_ptr<Command> MakeDoseTop() { return std::make_unique<DoseTop>(); }

}  // namespace rundlet::client
