// rundlet amend: another entry in the place of one.
#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

// amend 3f2a9c01 -- rack C1 C2 --lees 0.5L
class Amend : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("entry", words_.entry, "the last characters of its id, as in: rundlet log")
        ->type_name("ENTRY")
        ->required();
    app.add_option("--reason", words_.reason, "why");
    DeclareChangeOptions(app, options_);
    app.footer(
        "Then -- and the command as it should have been: rundlet amend 3f2a9c01 -- rack C1 C2 "
        "--lees 0.5L\n"
        "The time stays as it was unless --at says another. With --at and no command only the time "
        "changes.");
  }

  absl::Status Run(Session& session) override {
    if (session.after_dashes.empty()) {
      return RunChange(session, options_, &words_,
                       [&](Planner& planner, Change& made) { return MakeSame(planner, made); });
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
  // The same again at another time; or, where the server returned it, just the same again.
  absl::Status MakeSame(Planner& planner, Change& change) const {
    const auto stored = FindEntry(planner.cellar(), words_.entry);
    if (!stored.ok()) return stored.status();
    if (options_.at.empty() && stored->state != EntryState::kReturned)
      return Usage(absl::StrCat("what should it have been? As in: rundlet amend ", words_.entry,
                                " -- rack C1 C2 --lees 0.5L"));
    auto old = ReadEntry(stored->bytes);
    if (!old.ok()) return old.status();
    old->clear_previous_hash();
    old->clear_amendment();
    change.Add() = *std::move(old);
    return absl::OkStatus();
  }

  AmendWords words_;
  ChangeOptions options_;
};

}  // namespace

std::unique_ptr<Command> MakeAmend() { return std::make_unique<Amend>(); }

}  // namespace rundlet::client
