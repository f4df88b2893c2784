#ifndef RUNDLET_CORE_MANUAL_FROM_APP_H_
#define RUNDLET_CORE_MANUAL_FROM_APP_H_

#include <CLI/App.hpp>
#include <string>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_replace.h"
#include "core/manual/page.h"

namespace rundlet::manual {

// The words of a command line as CLI11 knows them. A header alone, for the programs that use CLI11.

inline std::string NamesOf(const CLI::Option& option) {
  if (option.get_positional()) return option.get_name(true);
  std::vector<std::string> names;
  for (const std::string& name : option.get_snames()) names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) names.push_back("--" + name);
  return absl::StrJoin(names, ", ");
}

// "{hand,guest,master}" of a choice reads "hand|guest|master".
inline std::string TakesOf(const CLI::Option& option) {
  if (option.get_items_expected_max() == 0) return "";
  std::string takes = option.get_type_name();
  if (const size_t check = takes.find(":POSITIVE"); check != std::string::npos) takes.resize(check);
  if (const size_t open = takes.find('{'); open != std::string::npos && takes.back() == '}')
    takes = absl::StrReplaceAll(takes.substr(open + 1, takes.size() - open - 2), {{",", "|"}});
  return takes;
}

inline Word WordOf(const CLI::Option& option) {
  const bool by_place = option.get_positional();
  const bool list = option.get_items_expected_max() > 1;
  std::string about = option.get_description();
  if (about == "Print this help message and exit") about = "print this text";
  return {.names = NamesOf(option),
          .takes = TakesOf(option),
          .about = about,
          .otherwise = option.get_default_str(),
          .variable = option.get_envname(),
          .option = !by_place,
          .required = option.get_required(),
          .repeats = list};
}

// Options that stand in no group are not shown.
inline Verb DescribeApp(const CLI::App& app, std::string command) {
  Verb verb{.command = std::move(command), .about = app.get_description(), .words = {}};
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_group().empty()) verb.words.push_back(WordOf(*option));
  }
  return verb;
}

}  // namespace rundlet::manual

#endif  // RUNDLET_CORE_MANUAL_FROM_APP_H_
