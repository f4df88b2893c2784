// rundlet completion SHELL: the script that lets a shell complete what is written.
#include "client/cli/embedded_text.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

class CompletionCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("shell", shell_,
                   "which; then, for bash: source <(rundlet completion bash); for zsh, after "
                   "compinit: source <(rundlet completion zsh); for fish: rundlet completion fish "
                   "| source")
        ->required()
        ->type_name("bash|zsh|fish");
  }

  absl::Status Run(Session& session) override {
    for (const EmbeddedText& script : CompletionScripts()) {
      if (script.name != "rundlet." + shell_) continue;
      session.out() << script.text;
      return absl::OkStatus();
    }
    return Usage("for which shell? rundlet completion bash, zsh or fish");
  }

 private:
  std::string shell_;
};

}  // namespace

std::unique_ptr<Command> MakeCompletion() { return std::make_unique<CompletionCommand>(); }

}  // namespace rundlet::client
