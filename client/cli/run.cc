#include "client/cli/run.h"

#include <algorithm>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/cli/command.h"
#include "core/quantity/text.h"

namespace rundlet::client {
namespace {

constexpr char kVersion[] = "rundlet " RUNDLET_VERSION "\n";

std::string Overview() {
  std::string text =
      "The cellar book of a circle of wine makers: what is done is written down here at once, with "
      "a signal or without.\n\n"
      "  rundlet COMMAND ...          rundlet COMMAND --help\n";
  size_t width = 0;
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group != '\0') width = std::max(width, spec.name.size());
  }
  std::string group;
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group == '\0') continue;
    if (group != spec.group) {
      group = spec.group;
      absl::StrAppend(&text, "\n", group, "\n");
    }
    absl::StrAppend(&text, "  ", spec.name, std::string(width - spec.name.size() + 2, ' '),
                    spec.about, "\n");
  }
  absl::StrAppend(&text,
                  "\nCommands that write take --at, --note, --dry-run and --json; those that show "
                  "take --json.\n"
                  "Ends with 0 done, 1 error, 2 words not understood, 4 not allowed, 5 saved here "
                  "but not synced,\n"
                  "6 synced with something held or returned.\n");
  return text;
}

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

// The command behind "--" of an amendment is not for the parser of the outer one.
std::vector<std::string> TakeAfterDashes(std::vector<std::string>& args) {
  std::vector<std::string> rest;
  if (args.empty() || args[0] != "amend") return rest;
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
    words.push_back("--help");
  }
  if (words.empty() || words[0] == "--help" || words[0] == "-h" || words[0] == "help") {
    *env.out << Overview();
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
  const auto command = ParseCommand(words);
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
