// rundlet sync: what was entered goes to the server, what others entered comes from it. The work is
// done by rundlet-sync.
#include "client/commands/commands.h"
#include "client/store/store_home.h"

namespace rundlet::client {
namespace {

class Sync : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_flag("--json", json_, "print JSON");
    app.add_flag("--repair", repair_, "fetch the whole journal again, to mend damaged entries");
  }

  absl::Status Run(Session& session) override {
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (!session.env.run_sync) return absl::UnimplementedError("there is no rundlet-sync here");
    const auto report =
        session.env.run_sync({.home = home->dir(), .json = json_, .repair = repair_});
    if (!report.ok()) return report.status();
    session.out() << report->out;
    session.exit_code = report->exit_code;
    return absl::OkStatus();
  }

 private:
  bool json_ = false;
  bool repair_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeSync() { return std::make_unique<Sync>(); }

}  // namespace rundlet::client
