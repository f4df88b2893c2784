#ifndef RUNDLET_CLIENT_COMMANDS_SUBJECT_LIST_H_
#define RUNDLET_CLIENT_COMMANDS_SUBJECT_LIST_H_

#include <string>
#include <utility>
#include <vector>

#include "client/cli/command.h"

namespace rundlet::client {

// A command of many subjects, given none, or one that it does not know: lists them, or guesses.
class SubjectList : public Command {
 public:
  using Subjects = std::vector<std::pair<std::string, std::string>>;  // word, what it works out

  // `name` is the command's; `unknown` begins the sentence about a word that is none ("nothing is
  // dosed by the word"); `hint` ends the list.
  SubjectList(std::string name, std::string unknown, std::string hint, Subjects subjects)
      : name_(std::move(name)),
        unknown_(std::move(unknown)),
        hint_(std::move(hint)),
        subjects_(std::move(subjects)) {}

  void Declare(CLI::App& app) override;
  absl::Status Run(Session& session) override;

 private:
  const std::string name_, unknown_, hint_;
  const Subjects subjects_;
  std::vector<std::string> subject_, options_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_SUBJECT_LIST_H_
