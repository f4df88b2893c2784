#include "client/cli/bash_line.h"

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"

namespace rundlet::client {
namespace {

// COMP_WORDBREAKS as bash sets it, but for quotes and spaces.
constexpr absl::string_view kBreaks = "><=;|&(:";
// What bash would take for something else where it stands without quotes.
constexpr absl::string_view kSpecial = " \t\"'\\$`!&|;()<>*?[]{}~#^";

// What the opened quote keeps special.
absl::string_view SpecialInside(char quote) { return quote == '"' ? "\"\\$`" : ""; }

std::string WithBackslashes(absl::string_view text, absl::string_view special) {
  std::string escaped;
  for (const char c : text) {
    if (absl::StrContains(special, c)) escaped += '\\';
    escaped += c;
  }
  return escaped;
}

}  // namespace

BashLine ReadBashLine(absl::string_view line) {
  BashLine read;
  std::string word;
  bool in_word = false;
  for (size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (read.quote != '\0') {
      if (c == read.quote) {
        read.quote = '\0';
      } else if (c == '\\' && read.quote == '"' && i + 1 < line.size() &&
                 absl::StrContains(SpecialInside('"'), line[i + 1])) {
        word += line[++i];
      } else {
        word += c;
      }
      continue;
    }
    if (c == ' ' || c == '\t') {
      if (in_word) read.words.push_back(std::move(word));
      word.clear();
      read.kept.clear();
      in_word = false;
      continue;
    }
    in_word = true;
    if (c == '"' || c == '\'') {
      read.quote = c;
      read.kept = word;
    } else if (c == '\\' && i + 1 < line.size()) {
      word += line[++i];
    } else {
      word += c;
      if (absl::StrContains(kBreaks, c)) read.kept = word;
    }
  }
  read.words.push_back(std::move(word));
  return read;
}

std::string BashLine::Replacement(absl::string_view value) const {
  // In another case of letters than the word has, it takes the place of all of it all the same.
  const absl::string_view rest =
      absl::StartsWithIgnoreCase(value, kept) ? value.substr(kept.size()) : value;
  // Nothing is special inside single quotes, and nothing can stand for one there: it has to end
  // them.
  if (quote == '\'') return absl::StrReplaceAll(rest, {{"'", "'\\''"}});
  return WithBackslashes(rest, quote == '\0' ? kSpecial : SpecialInside(quote));
}

}  // namespace rundlet::client
