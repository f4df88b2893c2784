// rundlet reckon: numbers of the trade, by pure calculation; no cellar is opened.
#include "absl/strings/str_cat.h"
#include "client/cli/near.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
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

// reckon without a subject, or with one that it does not know.
class ReckonList : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("subject", subject_, "what to reckon; rundlet reckon alone lists them")
        ->expected(0, -1);
    // What belongs to a subject must not hide that the subject is unknown.
    app.allow_extras();
    app.callback([this, &app] { options_ = app.remaining(); });
  }

  absl::Status Run(Session& session) override {
    if (!subject_.empty()) {
      std::vector<std::string> words;
      for (const Subject& subject : AllSubjects()) words.emplace_back(subject.word);
      const std::string near = NearWords(words, subject_[0]);
      return Usage(absl::StrCat("nothing is reckoned by the word '", subject_[0],
                                near.empty() ? "'." : "'",
                                near.empty() ? "" : absl::StrCat(": did you mean ", near, "?"),
                                " All subjects: rundlet reckon"));
    }
    if (!options_.empty())
      return Usage(absl::StrCat(options_[0], " goes with a subject. All: rundlet reckon"));
    Table table({"Subject", "What it works out"});
    for (const Subject& subject : AllSubjects()) table.Add({subject.word, subject.about});
    session.out() << table.Print() << "\nEach takes --explain and --json. See: rundlet reckon "
                  << "SUBJECT --help\n";
    return absl::OkStatus();
  }

 private:
  std::vector<std::string> subject_, options_;
};

}  // namespace

std::unique_ptr<Command> MakeReckon() { return std::make_unique<ReckonList>(); }

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
