// rundlet join: this device becomes one of a cellar's, by an invitation.
#include <unistd.h>

#include <array>
#include <iostream>
#include <iterator>

#include "absl/strings/ascii.h"
#include "client/base/file.h"
#include "client/commands/commands.h"
#include "client/commands/device_name.h"
#include "client/store/store_home.h"
#include "core/identity/invitation.h"

namespace rundlet::client {
namespace {

class Join : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("invitation", invitation_,
                   "the line that begins with 'rdi1.'. Without it, it is asked for, or read from "
                   "standard input: there it stands in no history and no list of processes")
        ->type_name("LINE");
    app.add_option("--file", file_, "a file that holds it")->type_name("FILE");
    app.add_option("--device", device_, "what this device is called; else as the machine")
        ->type_name("NAME");
    app.add_flag("--json", json_, "print JSON");
  }

  absl::Status Run(Session& session) override {
    const auto text = ReadText(session);
    if (!text.ok()) return text.status();
    // What is none is told at once, without the network.
    if (const auto invitation = ParseInvitation(*text); !invitation.ok())
      return invitation.status();
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (!session.env.run_sync) return absl::UnimplementedError("there is no rundlet-sync here");
    const auto report = session.env.run_sync({.home = home->dir(),
                                              .json = json_,
                                              .words = {"--join", "--device", DeviceName(device_)},
                                              .input = *text});
    if (!report.ok()) return report.status();
    session.out() << report->out;
    session.exit_code = report->exit_code;
    return absl::OkStatus();
  }

 private:
  absl::StatusOr<std::string> ReadText(Session& session) const {
    if (!invitation_.empty() && !file_.empty())
      return absl::InvalidArgumentError("write the invitation or --file FILE: one of the two");
    if (!file_.empty()) return ReadFile(file_);
    if (!invitation_.empty() && invitation_ != "-") return invitation_;
    std::string text;
    if (isatty(STDIN_FILENO) != 0) {
      session.err() << "The invitation, a line that begins with 'rdi1.': " << std::flush;
      std::getline(std::cin, text);
    } else {
      text.assign(std::istreambuf_iterator<char>(std::cin), std::istreambuf_iterator<char>());
    }
    if (absl::StripAsciiWhitespace(text).empty()) {
      return absl::InvalidArgumentError(
          "there is no invitation: paste the line where rundlet join asks for it, or name a file "
          "that holds it, with --file FILE. A cellar master makes one with: rundlet invite NAME");
    }
    return text;
  }

  std::string invitation_, file_, device_;
  bool json_ = false;
};

}  // namespace

std::string DeviceName(const std::string& said) {
  if (!said.empty()) return said;
  std::array<char, 65> name = {};
  if (gethostname(name.data(), name.size() - 1) != 0 || name[0] == '\0') return "device";
  return name.data();
}

std::unique_ptr<Command> MakeJoin() { return std::make_unique<Join>(); }

}  // namespace rundlet::client
