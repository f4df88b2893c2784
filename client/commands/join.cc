// rundlet join: this device becomes one of a cellar's.
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/commands/commands.h"
#include "client/store/store_home.h"

namespace rundlet::client {
namespace {

class Join : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--server", server_, "HOST:PORT")->required();
    app.add_option("--token", token_, "the token that this device was given");
    app.add_option("--token-file", token_file_,
                   "a file that holds it: other programs cannot read it there");
    app.add_flag("--json", json_, "print JSON");
  }

  absl::Status Run(Session& session) override {
    if (token_.empty() == token_file_.empty()) {
      return absl::InvalidArgumentError(
          "write --token TOKEN or --token-file FILE: the cellar master makes one");
    }
    if (token_.empty()) {
      const auto content = ReadFile(token_file_);
      if (!content.ok()) return content.status();
      token_ = *content;
    }
    token_ = std::string(absl::StripAsciiWhitespace(token_));
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (!session.env.run_sync) return absl::UnimplementedError("there is no rundlet-sync here");
    const auto report = session.env.run_sync(
        {.home = home->dir(), .json = json_, .join_server = server_, .join_token = token_});
    if (!report.ok()) return report.status();
    session.out() << report->out;
    session.exit_code = report->exit_code;
    return absl::OkStatus();
  }

 private:
  std::string server_, token_, token_file_;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeJoin() { return std::make_unique<Join>(); }

}  // namespace rundlet::client
