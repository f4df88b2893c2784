#include "core/plans/plan_text.h"

#include <set>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/entry/limits.h"
#include "core/plans/plan_words.h"
#include "core/quantity/text.h"

namespace rundlet::plans {
namespace {

using absl::string_view;

constexpr int kMaxSteps = 200;
constexpr size_t kMaxErrors = 10;
constexpr size_t kMaxTextBytes = 4000;  // of what to mind at one step
constexpr char kStart[] = "start";      // from which a step counts, where it is no step

class PlanReader {
 public:
  absl::StatusOr<v1::PlanStarted> Read(string_view text);

 private:
  void ReadLine(string_view line);
  absl::Status ReadThing(string_view word, string_view value);
  absl::Status ReadPlanName(string_view value);
  absl::Status ReadStep(string_view key, string_view title);
  absl::Status ReadWhen(string_view value, v1::PlanStep& step);
  absl::Status ReadOfStep(string_view word, string_view value, v1::PlanStep& step);
  absl::Status Once(string_view word);
  void Fail(int line, string_view text) {
    if (errors_.size() < kMaxErrors) errors_.push_back(absl::StrCat("line ", line, ": ", text));
  }

  v1::PlanStarted plan_;
  std::set<std::string> keys_;
  std::set<std::string> said_;  // of the step at hand
  bool in_step_ = false;        // false while a step that could not be read is passed over
  int line_ = 0;
  std::vector<std::string> errors_;
};

absl::Status Wrong(string_view text) { return absl::InvalidArgumentError(text); }

bool IsKey(string_view key) {
  if (key.empty() || key.size() > 40 || key == kStart) return false;
  return key.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == string_view::npos;
}

absl::Status PlanReader::ReadPlanName(string_view value) {
  if (!plan_.name().empty()) return Wrong("the plan has its name already: leave this line out");
  if (value.empty() || value.size() > kMaxNameBytes)
    return Wrong("write a short name, such as plan: White from juice");
  plan_.set_name(std::string(value));
  return absl::OkStatus();
}

absl::Status PlanReader::ReadStep(string_view key, string_view title) {
  in_step_ = false;
  if (!IsKey(key)) {
    return Wrong(absl::StrCat("a step needs a short key of small letters, digits and '-', and not ",
                              "'start': write step rack-1: Rack off the lees"));
  }
  if (title.empty() || title.size() > kMaxNameBytes)
    return Wrong(
        absl::StrCat("say in a few words what is done: step ", key, ": Rack off the lees"));
  if (!keys_.insert(std::string(key)).second)
    return Wrong(absl::StrCat("there is a step '", key, "' already: give this one another key"));
  if (plan_.steps_size() == kMaxSteps)
    return Wrong(absl::StrCat("a plan has at most ", kMaxSteps, " steps: make two of it"));
  const std::string before = plan_.steps().empty() ? "" : plan_.steps(plan_.steps_size() - 1).key();
  v1::PlanStep& step = *plan_.add_steps();
  step.set_key(std::string(key));
  step.set_title(std::string(title));
  step.set_after_key(before);
  said_.clear();
  in_step_ = true;
  return absl::OkStatus();
}

absl::Status PlanReader::Once(string_view word) {
  if (said_.insert(std::string(word)).second) return absl::OkStatus();
  return Wrong(absl::StrCat("this step has a line '", word, ":' already: leave one of them out"));
}

// "14 days after pitch", "after pitch", "after start".
absl::Status PlanReader::ReadWhen(string_view value, v1::PlanStep& step) {
  const size_t at = absl::StartsWith(value, "after ") ? 0 : value.find(" after ");
  if (at == string_view::npos) {
    return Wrong(absl::StrCat(Quoted(value),
                              " does not say after what: write 14 days after start, or 2 days ",
                              "after and the key of an earlier step"));
  }
  const string_view wait = value.substr(0, at);
  const string_view key =
      absl::StripAsciiWhitespace(value.substr(at + (at == 0 ? 0 : 1) + sizeof("after")));
  const bool from_start = key == kStart;
  if (!from_start && (key == step.key() || !keys_.contains(std::string(key)))) {
    return Wrong(absl::StrCat("no step above this one is called ", Quoted(key),
                              ": write the key of an earlier step, or start"));
  }
  if (!wait.empty()) {
    const auto hours = ParseWait(wait);
    if (!hours.ok()) return hours.status();
    step.set_after_hours(*hours);
  }
  step.set_after_key(from_start ? "" : std::string(key));
  return absl::OkStatus();
}

absl::Status PlanReader::ReadOfStep(string_view word, string_view value, v1::PlanStep& step) {
  if (word == "dose") {
    const auto dose = ParseDose(value);
    if (dose.ok()) *step.add_doses() = *dose;
    return dose.status();
  }
  if (word == "needs") {
    const auto gate = ParseGate(value);
    if (gate.ok()) *step.add_gates() = *gate;
    return gate.status();
  }
  if (word == "mind") {
    if (step.text().size() + value.size() > kMaxTextBytes)
      return Wrong("this is more than anybody reads at work: say it in fewer words");
    absl::StrAppend(step.mutable_text(), step.text().empty() ? "" : "\n", value);
    return absl::OkStatus();
  }
  if (absl::Status status = Once(word); !status.ok()) return status;
  if (word == "when") return ReadWhen(value, step);
  if (word == "who") {
    if (value.size() > kMaxNameBytes) return Wrong("write one short name");
    step.set_person(std::string(value));
    return absl::OkStatus();
  }
  const auto act = ReadActWord(value);
  if (!act.has_value()) {
    return Wrong(absl::StrCat("nothing is written into the book by ", Quoted(value),
                              ": write one of ", absl::StrJoin(AllActWords(), ", "),
                              ", or leave the line out where a person says that it is done"));
  }
  step.set_act(act->act);
  step.set_treatment(act->treatment);
  return absl::OkStatus();
}

absl::Status PlanReader::ReadThing(string_view word, string_view value) {
  if (word == "plan") return ReadPlanName(value);
  if (word == "step" || absl::StartsWith(word, "step "))
    return ReadStep(absl::StripAsciiWhitespace(word.substr(4)), value);
  for (const char* known : {"when", "needs", "done by", "dose", "who", "mind"}) {
    if (word != known) continue;
    if (value.empty()) return Wrong(absl::StrCat("something is missing behind '", word, ":'"));
    if (in_step_) return ReadOfStep(word, value, *plan_.mutable_steps()->rbegin());
    // What belongs to a step that could not be read has been told of with it.
    return plan_.steps().empty() && errors_.empty()
               ? Wrong(
                     "this belongs to a step: write a line such as step pitch: Add the yeast "
                     "above it")
               : absl::OkStatus();
  }
  return Wrong(absl::StrCat("nothing is called ", Quoted(word),
                            " here: a line begins with plan:, step KEY:, when:, needs:, done by:, "
                            "dose:, who: or mind:, or with # for a comment"));
}

void PlanReader::ReadLine(string_view line) {
  ++line_;
  if (!IsUtf8(line)) return Fail(line_, "this is no text: save the file as UTF-8");
  const std::string tidy = Tidy(line);
  if (tidy.empty() || tidy[0] == '#') return;
  const size_t colon = tidy.find(':');
  if (colon == std::string::npos) {
    return Fail(line_, absl::StrCat(Quoted(tidy),
                                    " has no colon: write a line such as when: 14 "
                                    "days after pitch, or # in front of a comment"));
  }
  const std::string word =
      absl::AsciiStrToLower(absl::StripAsciiWhitespace(string_view(tidy).substr(0, colon)));
  const absl::Status status =
      ReadThing(word, absl::StripAsciiWhitespace(string_view(tidy).substr(colon + 1)));
  if (!status.ok()) Fail(line_, status.message());
}

absl::StatusOr<v1::PlanStarted> PlanReader::Read(string_view text) {
  absl::ConsumePrefix(&text, "\xEF\xBB\xBF");
  for (const string_view line : absl::StrSplit(text, '\n')) ReadLine(line);
  if (errors_.empty() && plan_.name().empty())
    Fail(1, "the plan has no name: write a line such as plan: White from juice");
  if (errors_.empty() && plan_.steps().empty())
    Fail(line_, "the plan has no steps: write a line such as step pitch: Add the yeast");
  if (!errors_.empty()) return absl::InvalidArgumentError(absl::StrJoin(errors_, "\n"));
  return std::move(plan_);
}

}  // namespace

absl::StatusOr<v1::PlanStarted> ParsePlan(string_view text) { return PlanReader().Read(text); }

std::string PrintPlan(const v1::PlanStarted& plan) {
  std::string text = absl::StrCat("plan: ", plan.name(), "\n");
  std::string before;
  for (const v1::PlanStep& step : plan.steps()) {
    absl::StrAppend(&text, "\nstep ", step.key(), ": ", step.title(), "\n");
    if (step.after_key() != before || step.after_hours() != 0) {
      absl::StrAppend(
          &text, "  when: ", step.after_hours() == 0 ? "" : FormatWait(step.after_hours()) + " ",
          "after ", step.after_key().empty() ? kStart : step.after_key(), "\n");
    }
    for (const v1::StepGate& gate : step.gates())
      absl::StrAppend(&text, "  needs: ", FormatGate(gate), "\n");
    if (const std::string word = ActWord(step.act(), step.treatment()); !word.empty())
      absl::StrAppend(&text, "  done by: ", word, "\n");
    for (const v1::StepDose& dose : step.doses())
      absl::StrAppend(&text, "  dose: ", dose.material(), " = ", FormatDose(dose), "\n");
    if (!step.person().empty()) absl::StrAppend(&text, "  who: ", step.person(), "\n");
    if (!step.text().empty()) {
      for (const string_view line : absl::StrSplit(step.text(), '\n'))
        absl::StrAppend(&text, "  mind: ", line, "\n");
    }
    before = step.key();
  }
  return text;
}

}  // namespace rundlet::plans
