#include "client/cli/command.h"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>

#include "absl/algorithm/container.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/cli/describe.h"
#include "client/cli/near.h"
#include "core/manual/page.h"

namespace rundlet::client {
namespace {

// "rundlet gear lend  it left the house", a line for each.
std::string VerbHelp(const std::vector<std::string>& names) {
  size_t width = 0;
  for (const std::string& name : names) width = std::max(width, name.size());
  std::string text;
  for (const CommandSpec& spec : AllCommands()) {
    if (!absl::c_linear_search(names, spec.name)) continue;
    const std::string gap(width + 2 - spec.name.size(), ' ');
    absl::StrAppend(&text, "rundlet ", spec.name, gap, spec.about, "\n");
  }
  return text;
}

// The answer to --as-of of a command that shows no book.
absl::Status NoPast() {
  return absl::InvalidArgumentError(
      "--as-of and --known-at go with commands that show the book, such as: rundlet board --as-of "
      "yesterday");
}

bool AsksForPast(const std::vector<std::string>& words) {
  return absl::c_any_of(words, [](absl::string_view word) {
    return absl::StartsWith(word, "--as-of") || absl::StartsWith(word, "--known-at");
  });
}

absl::Status NoSuchCommand(const std::vector<std::string>& words) {
  std::vector<std::string> verbs;  // of a noun
  std::vector<std::string> names;
  for (const CommandSpec& spec : AllCommands()) {
    const std::string name = spec.name;
    const size_t space = name.find(' ');
    names.push_back(name.substr(0, space));
    if (space != std::string::npos && name.substr(0, space) == words[0]) verbs.push_back(name);
  }
  const bool asks = words.size() == 2 && (words[1] == "--help" || words[1] == "-h");
  if (!verbs.empty() && asks) return absl::CancelledError(VerbHelp(verbs));
  if (!verbs.empty()) {
    return absl::InvalidArgumentError(
        absl::StrCat("a verb is missing, or another one was meant: rundlet ",
                     Enumerate(verbs, ", rundlet ", ", rundlet ")));
  }
  const std::string near = NearWords(names, words[0]);
  return absl::InvalidArgumentError(absl::StrCat(
      "there is no command '", words[0], "'",
      near.empty() ? "." : absl::StrCat(": did you mean ", near, "?"), " See: rundlet --help"));
}

// Words that the command has no place for: with the option that may have been meant.
absl::Status TooMuch(const CommandSpec& spec, const std::vector<std::string>& words,
                     absl::string_view otherwise) {
  const std::string see = absl::StrCat("See: rundlet ", spec.name, " --help");
  std::vector<std::string> options;
  for (const manual::Word& word : DescribeCommand(spec).words) {
    for (const absl::string_view name : absl::StrSplit(word.names, ", ")) {
      if (absl::StartsWith(name, "--")) options.emplace_back(name);
    }
  }
  for (const std::string& word : words) {
    if (!absl::StartsWith(word, "-")) continue;
    const std::string near = NearWords(options, word.substr(0, word.find('=')));
    return absl::InvalidArgumentError(
        absl::StrCat("there is no option ", word,
                     near.empty() ? ". " : absl::StrCat(": did you mean ", near, "? "), see));
  }
  return absl::InvalidArgumentError(absl::StrCat(otherwise, ". ", see));
}

}  // namespace

void ViewCommand::Declare(CLI::App& app) {
  app.add_flag("--json", json_, "print JSON");
  DeclareWords(app);
  standpoint_.Declare(app, HasPast());
}

absl::Status ViewCommand::Run(Session& session) {
  if (standpoint_.said() && !HasPast()) return NoPast();
  const auto head = [&](const std::string& sentence) {
    if (ForPeople()) {
      session.out() << sentence << "\n\n";
    } else {
      session.err() << "note: " << sentence << "\n";
    }
  };
  return ShowFrom(standpoint_, session, head,
                  [this](Cellar& cellar, Session& then) { return Show(cellar, then); });
}

// The longer name first: "vessel new" before "vessel".
const CommandSpec* FindCommand(const std::vector<std::string>& words, size_t* used) {
  *used = 0;
  for (const size_t length : {2u, 1u}) {
    if (words.size() < length) continue;
    const std::string name = length == 2 ? absl::StrCat(words[0], " ", words[1]) : words[0];
    for (const CommandSpec& spec : AllCommands()) {
      if (name == spec.name) {
        *used = length;
        return &spec;
      }
    }
  }
  return nullptr;
}

absl::StatusOr<std::unique_ptr<Command>> ParseCommand(const std::vector<std::string>& words,
                                                      size_t width) {
  size_t used = 0;
  const CommandSpec* spec = FindCommand(words, &used);
  if (spec == nullptr) return NoSuchCommand(words);
  std::unique_ptr<Command> command = spec->make();
  // An app of its own for each command: no word of one is ever taken for the name of another.
  CLI::App app(spec->about, absl::StrCat("rundlet ", spec->name));
  command->Declare(app);
  std::vector<std::string> rest(words.rbegin(), words.rend() - static_cast<ptrdiff_t>(used));
  // CLI11 speaks by exceptions; they end here.
  try {
    app.parse(std::move(rest));
  } catch (const CLI::CallForHelp&) {
    return absl::CancelledError(manual::PrintHelp(DescribeCommand(*spec), width));
  } catch (const CLI::ExtrasError& error) {
    if (AsksForPast(words)) return NoPast();
    return TooMuch(*spec, app.remaining(), error.what());
  } catch (const CLI::Error& error) {
    return absl::InvalidArgumentError(
        absl::StrCat(error.what(), ". See: rundlet ", spec->name, " --help"));
  }
  return command;
}

CLI::Validator NotEmpty() {
  return CLI::Validator(
      [](const std::string& word) {
        return absl::StripAsciiWhitespace(word).empty() ? "write a word or two" : "";
      },
      "");
}

CLI::Option* AddList(CLI::App& app, const std::string& name, std::vector<std::string>& values,
                     const std::string& about) {
  return app.add_option(name, values, about)->allow_extra_args(false);
}

}  // namespace rundlet::client
