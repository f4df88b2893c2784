// rundlet amend: another entry in the place of one.
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

// amend 3f2a9c01 -- rack C1 C2 --lees 0.5L
class Amend : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("entry", words_.entry, "the last characters of its id, as in: rundlet log")
        ->required();
    app.add_option("--reason", words_.reason, "why");
    DeclareChangeOptions(app, options_);
    app.footer(
        "Then -- and the command as it should have been: rundlet amend 3f2a9c01 -- rack C1 C2 "
        "--lees 0.5L\n"
        "The time stays as it was unless --at says another.");
  }

  absl::Status Run(Session& session) override {
    if (session.after_dashes.empty()) {
      return Usage(absl::StrCat("what should it have been? As in: rundlet amend ", words_.entry,
                                " -- rack C1 C2 --lees 0.5L"));
    }
    const auto command = ParseCommand(session.after_dashes);
    if (!command.ok()) return command.status();
    auto* change = dynamic_cast<ChangeCommand*>(command->get());
    if (change == nullptr)
      return Usage(absl::StrCat("'", session.after_dashes[0], "' writes nothing: it cannot amend"));
    const ChangeOptions& inner = change->options();
    if (options_.at.empty()) options_.at = inner.at;
    if (options_.note.empty()) options_.note = inner.note;
    options_.dry_run = options_.dry_run || inner.dry_run;
    options_.json = options_.json || inner.json;
    return RunChange(session, options_, &words_,
                     [&](Planner& planner, Change& made) { return change->Make(planner, made); });
  }

 private:
  AmendWords words_;
  ChangeOptions options_;
};

}  // namespace

std::unique_ptr<Command> MakeAmend() { return std::make_unique<Amend>(); }

}  // namespace rundlet::client
