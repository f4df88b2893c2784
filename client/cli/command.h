#ifndef RUNDLET_CLIENT_CLI_COMMAND_H_
#define RUNDLET_CLIENT_CLI_COMMAND_H_

#include <CLI/App.hpp>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "client/cli/session.h"
#include "client/cli/standpoint_words.h"

namespace rundlet::client {

// One command of `rundlet`: its words, and what it does.
class Command {
 public:
  virtual ~Command() = default;

  // Declares positional words and options, bound to members.
  virtual void Declare(CLI::App& app) = 0;

  // InvalidArgument: the words cannot be understood (exit code 2). PermissionDenied and
  // Unauthenticated: 4. Any other error:
  // 1. On success session.exit_code counts.
  virtual absl::Status Run(Session& session) = 0;
};

// A command that shows something of the cellar and changes nothing. It has --json, --as-of and
// --known-at.
class ViewCommand : public Command {
 public:
  void Declare(CLI::App& app) final;
  absl::Status Run(Session& session) final;

 protected:
  virtual void DeclareWords(CLI::App&) {}
  virtual absl::Status Show(Cellar& cellar, Session& session) = 0;
  // Whether it shows the book, which has a past; not the device, or what the server signed.
  virtual bool HasPast() const { return true; }
  // Whether what it prints is for people, so that a sentence may stand above it.
  virtual bool ForPeople() const { return !json_; }
  bool json() const { return json_; }

 private:
  bool json_ = false;
  StandpointWords standpoint_;
};

struct CommandSpec {
  std::string name;   // "rack", "vessel new"
  const char* about;  // one line
  const char* group;  // the heading under which it is listed; "": not listed
  std::function<std::unique_ptr<Command>()> make;
};

// All commands, in the order in which they are listed.
absl::Span<const CommandSpec> AllCommands();

// The command that the first of the words name, and how many of them do; nullptr where none does.
const CommandSpec* FindCommand(const std::vector<std::string>& words, size_t* used);

// A command made from its words, ready to run. InvalidArgument where the words cannot be
// understood; Cancelled, with the text to print, where they ask for help.
// Help has lines of at most `width` characters; 0: as long as they are.
absl::StatusOr<std::unique_ptr<Command>> ParseCommand(const std::vector<std::string>& words,
                                                      size_t width = 0);

// For an option that must say something.
CLI::Validator NotEmpty();

// An option that may be given several times, with one value each time.
CLI::Option* AddList(CLI::App& app, const std::string& name, std::vector<std::string>& values,
                     const std::string& about);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_COMMAND_H_
