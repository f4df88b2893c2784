// rundlet reckon: numbers of the trade, by pure calculation; no cellar is opened.
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/subject_list.h"
#include "client/numbers/print_answer.h"
#include "client/numbers/subject.h"

namespace rundlet::client {
namespace {

// reckon alcohol --from 1.095 --to 0.996 --explain
class Reckon : public Command {
 public:
  explicit Reckon(const Subject& subject) : subject_(subject), words_(subject.inputs) {}

  void Declare(CLI::App& app) override {
    words_.Declare(app);
    app.add_flag("--explain", options_.explain, "how the number comes about, and its sources");
    app.add_flag("--json", options_.json, "print JSON");
  }

  absl::Status Run(Session& session) override {
    Values values;
    if (absl::Status status = words_.Read(values); !status.ok()) return status;
    const auto answer = subject_.reckon(values);
    if (!answer.ok()) return answer.status();
    PrintAnswer(*answer, options_, session);
    return absl::OkStatus();
  }

 private:
  const Subject& subject_;
  InputWords words_;
  AnswerOptions options_;
};

}  // namespace

std::unique_ptr<Command> MakeReckon() {
  SubjectList::Subjects subjects;
  for (const Subject& subject : AllSubjects()) subjects.emplace_back(subject.word, subject.about);
  return std::make_unique<SubjectList>(
      "reckon", "nothing is reckoned by the word",
      "Each takes --explain and --json. See: rundlet reckon SUBJECT --help", std::move(subjects));
}

std::vector<CommandSpec> ReckonCommands() {
  std::vector<CommandSpec> specs;
  for (const Subject& subject : AllSubjects()) {
    specs.push_back({.name = absl::StrCat("reckon ", subject.word),
                     .about = subject.about,
                     .group = "",
                     .make = [&subject] { return std::make_unique<Reckon>(subject); }});
  }
  return specs;
}

}  // namespace rundlet::client
