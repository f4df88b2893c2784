#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/manual/page.h"

namespace rundlet::manual {
namespace {

constexpr size_t kWidestName = 28;  // a longer one has its text on the next line
constexpr size_t kNarrowest = 24;   // of the text beside the names

// The number of characters of UTF-8 text.
size_t WidthOf(absl::string_view text) {
  return static_cast<size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xc0) != 0x80;
  }));
}

std::string HeadOf(const Word& word) {
  return absl::StrCat(word.names, word.takes.empty() ? "" : " ", word.takes,
                      word.repeats ? " ..." : "");
}

std::string AboutOf(const Word& word) {
  std::string about = word.about;
  if (!word.otherwise.empty()) absl::StrAppend(&about, " (", word.otherwise, ")");
  if (word.option && word.required) absl::StrAppend(&about, " (must be said)");
  return about;
}

void AppendWords(const Verb& verb, bool options, size_t width, size_t names, std::string& text) {
  bool first = true;
  for (const Word& word : verb.words) {
    if (word.option != options) continue;
    if (first) absl::StrAppend(&text, "\n");
    first = false;
    const std::string head = HeadOf(word);
    const bool beside = WidthOf(head) <= names;
    const size_t indent = 2 + names + 2;
    absl::StrAppend(&text, "  ", head);
    if (beside) {
      text.append(names + 2 - WidthOf(head), ' ');
    } else {
      absl::StrAppend(&text, "\n", std::string(indent, ' '));
    }
    const size_t room = width == 0 ? 0 : std::max(kNarrowest, width - std::min(width, indent));
    absl::StrAppend(&text, Wrap(AboutOf(word), room, indent), "\n");
  }
}

}  // namespace

std::string Wrap(absl::string_view text, size_t width, size_t indent) {
  if (width == 0) return std::string(text);
  std::string wrapped;
  size_t column = 0;
  for (const absl::string_view word : absl::StrSplit(text, ' ')) {
    const size_t length = WidthOf(word);
    if (column > 0 && column + 1 + length > width) {
      absl::StrAppend(&wrapped, "\n", std::string(indent, ' '));
      column = 0;
    }
    if (column > 0) {
      wrapped += ' ';
      ++column;
    }
    absl::StrAppend(&wrapped, word);
    column += length;
  }
  return wrapped;
}

std::string Synopsis(const Verb& verb) {
  std::string text = verb.command;
  bool options = false;
  for (const Word& word : verb.words) options = options || (word.option && !word.required);
  if (options) text += " [OPTION ...]";
  for (const Word& word : verb.words) {
    if (word.option && word.required) absl::StrAppend(&text, " ", word.names, " ", word.takes);
  }
  for (const Word& word : verb.words) {
    if (word.option) continue;
    const std::string name = absl::StrCat(word.names, word.repeats ? " ..." : "");
    absl::StrAppend(&text, " ", word.required ? name : absl::StrCat("[", name, "]"));
  }
  return text;
}

std::string PrintHelp(const Verb& verb, size_t width) {
  std::string text = absl::StrCat(Wrap(verb.about, width, 0), "\n\n  ",
                                  Wrap(Synopsis(verb), width < 4 ? 0 : width - 4, 4), "\n");
  size_t names = 0;
  for (const Word& word : verb.words) {
    if (WidthOf(HeadOf(word)) <= kWidestName) names = std::max(names, WidthOf(HeadOf(word)));
  }
  AppendWords(verb, /*options=*/false, width, names, text);
  AppendWords(verb, /*options=*/true, width, names, text);
  return text;
}

}  // namespace rundlet::manual
