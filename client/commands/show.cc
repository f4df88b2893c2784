// rundlet show: everything about one thing.
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "client/commands/show_parts.h"

namespace rundlet::client {
namespace {

class ShowCommand : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "anything with a name; 'lot:NAME' where several kinds share it")
        ->required();
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto thing = FindAnything(*cellar.fold, thing_);
    if (!thing.ok()) return thing.status();
    session.out() << (json() ? JsonOfThing(*cellar.fold, *thing)
                             : TextOfThing(*cellar.fold, *thing));
    return absl::OkStatus();
  }

 private:
  std::string thing_;
};

}  // namespace

std::unique_ptr<Command> MakeShow() { return std::make_unique<ShowCommand>(); }

}  // namespace rundlet::client
