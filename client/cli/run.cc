#include "client/cli/run.h"

#include <algorithm>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/command.h"
#include "client/cli/help.h"
#include "client/cli/near.h"
#include "core/quantity/text.h"

namespace rundlet::client {
namespace {

constexpr char kVersion[] = "rundlet " RUNDLET_VERSION "\n";

int ExitCodeOf(const absl::Status& status) {
  switch (status.code()) {
    case absl::StatusCode::kInvalidArgument:
    case absl::StatusCode::kOutOfRange:  // a number or a time that cannot be meant
      return kExitUsage;
    case absl::StatusCode::kPermissionDenied:
    case absl::StatusCode::kUnauthenticated:
      return kExitNotAllowed;
    default:
      return kExitError;
  }
}

// The topic that a word means that is neither one nor a command; empty if none is near.
std::string NearTopic(const std::vector<std::string>& words) {
  std::vector<std::string> topics;
  for (const CommandSpec& spec : AllCommands()) {
    if (words.size() != 1 || spec.name.substr(0, spec.name.find(' ')) == words[0]) return "";
  }
  for (const EmbeddedText& topic : HelpTopics()) topics.emplace_back(topic.name);
  return NearWords(topics, words[0]);
}

// The command behind "--" of an amendment is not for the parser of the outer one, nor is what a
// shell asks to have completed.
std::vector<std::string> TakeAfterDashes(std::vector<std::string>& args) {
  std::vector<std::string> rest;
  if (args.empty() || (args[0] != "amend" && args[0] != "complete")) return rest;
  const auto dashes = std::find(args.begin(), args.end(), "--");
  if (dashes != args.end()) rest.assign(dashes + 1, args.end());
  args.erase(dashes, args.end());
  return rest;
}

int Finish(const Environment& env, int exit_code) {
  env.out->flush();
  if (env.out->good()) return exit_code;
  // Who has read enough wants to hear nothing of the rest.
  if (env.reader_gone && env.reader_gone()) return exit_code;
  *env.err << "rundlet: the result could not be written out\n";
  return exit_code == kExitDone ? static_cast<int>(kExitError) : exit_code;
}

}  // namespace

int Run(const std::vector<std::string>& args, const Environment& env) {
  std::vector<std::string> words = args;
  if (words.size() >= 2 && words[0] == "help") {
    words.erase(words.begin());
    if (const EmbeddedText* topic = words.size() == 1 ? FindTopic(words[0]) : nullptr) {
      *env.out << PrintTopic(*topic, env.columns);
      return Finish(env, kExitDone);
    }
    if (const std::string near = NearTopic(words); !near.empty()) {
      *env.err << "rundlet: there is no topic '" << words[0] << "': did you mean rundlet help "
               << near << "?\n";
      return kExitUsage;
    }
    words.push_back("--help");
  }
  if (words.empty() || words[0] == "--help" || words[0] == "-h" || words[0] == "help") {
    *env.out << Overview(env.columns);
    return Finish(env, words.empty() ? kExitUsage : kExitDone);
  }
  if (words[0] == "--version") {
    *env.out << kVersion;
    return Finish(env, kExitDone);
  }
  for (const std::string& word : words) {
    if (IsUtf8(word)) continue;
    *env.err << "rundlet: " << Quoted(word)
             << " is not UTF-8: set the terminal to UTF-8 and write it again\n";
    return kExitUsage;
  }
  Session session{.env = env, .after_dashes = TakeAfterDashes(words)};
  const auto command = ParseCommand(words, env.columns);
  if (absl::IsCancelled(command.status())) {
    *env.out << command.status().message();
    return Finish(env, kExitDone);
  }
  const absl::Status status = command.ok() ? (*command)->Run(session) : command.status();
  if (status.ok()) return Finish(env, session.exit_code);
  env.out->flush();
  *env.err << "rundlet: " << status.message() << "\n";
  return ExitCodeOf(status);
}

}  // namespace rundlet::client
