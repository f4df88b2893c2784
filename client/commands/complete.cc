// rundlet complete SHELL -- ...: what a shell may put in the place of a word that is begun. For
// the scripts of client/completion; people see it as completion.
//
//   complete bash -- LINE           the line up to the cursor, as it is written
//   complete zsh|fish -- WORD ...   the words behind "rundlet" without quotes, the begun one last
//
// A candidate stands on each line, for zsh and fish with a tab and a few words about it. Lines that
// begin with ':' tell the shell what else may stand there. Whatever is wrong, nothing is said.
#include <algorithm>
#include <optional>

#include "absl/strings/str_replace.h"
#include "client/cli/bash_line.h"
#include "client/commands/book_names.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

class CompleteCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("shell", shell_, "who asks")->required()->type_name("bash|zsh|fish");
  }

  absl::Status Run(Session& session) override {
    std::vector<std::string> words = session.after_dashes;
    std::optional<BashLine> line;
    if (shell_ == "bash") {
      line = ReadBashLine(words.empty() ? "" : words.front());
      words = line->words;
      if (!words.empty()) words.erase(words.begin());  // the program
    }
    BookNames names(session.env);
    const Completion completion =
        Complete(words, [&](absl::string_view kind, const std::vector<std::string>& before) {
          return names.Of(kind, before);
        });
    Print(completion, line.has_value() ? &*line : nullptr, session.out());
    return absl::OkStatus();
  }

 private:
  static void Print(const Completion& completion, const BashLine* line, std::ostream& out) {
    if (completion.files) out << ":files\n";
    if (completion.directories) out << ":directories\n";
    const bool more =
        !completion.candidates.empty() &&
        std::all_of(completion.candidates.begin(), completion.candidates.end(),
                    [](const Candidate& candidate) { return candidate.value.ends_with('='); });
    if (line != nullptr && more) out << ":more\n";
    for (const Candidate& candidate : completion.candidates) {
      // A line each: what people wrote may have others in it.
      if (candidate.value.find('\n') != std::string::npos) continue;
      if (line != nullptr) {
        out << line->Replacement(candidate.value) << "\n";
      } else {
        out << candidate.value << "\t"
            << absl::StrReplaceAll(candidate.about, {{"\n", " "}, {"\t", " "}}) << "\n";
      }
    }
  }

  std::string shell_;
};

}  // namespace

std::unique_ptr<Command> MakeComplete() { return std::make_unique<CompleteCommand>(); }

}  // namespace rundlet::client
