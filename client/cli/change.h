#ifndef RUNDLET_CLIENT_CLI_CHANGE_H_
#define RUNDLET_CLIENT_CLI_CHANGE_H_

#include <string>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "client/cli/command.h"
#include "client/cli/planner.h"

namespace rundlet::client {

// What every command that writes can be told.
struct ChangeOptions {
  std::string at;
  std::string note;
  std::string anyway;
  bool dry_run = false;
  bool json = false;
};

// In whose place a change stands.
struct AmendWords {
  std::string entry;
  std::string reason;
};

// A command that writes entries. It has --at, --note, --anyway, --dry-run and --json.
class ChangeCommand : public Command {
 public:
  void Declare(CLI::App& app) final;
  absl::Status Run(Session& session) final;

  // Fills the change in from the words. The times and the note are set afterwards.
  virtual absl::Status Make(Planner& planner, Change& change) = 0;

  const ChangeOptions& options() const { return options_; }

 protected:
  virtual void DeclareWords(CLI::App& app) = 0;

 private:
  ChangeOptions options_;
};

void DeclareChangeOptions(CLI::App& app, ChangeOptions& options);

// Carries a change out: reads the book under the writer's lock, lets `make` fill the change in,
// says what will happen, what it makes of the cellar and which rules it breaks, and saves it,
// unless it is a dry run, breaks a rule that stops it and no reason is given, or would change a
// closed period (both FailedPrecondition). Then tries to sync for a moment. `amend` is null where
// nothing is amended.
absl::Status RunChange(Session& session, const ChangeOptions& options, const AmendWords* amend,
                       absl::FunctionRef<absl::Status(Planner&, Change&)> make);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_CHANGE_H_
