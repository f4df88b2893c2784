#include "client/cli/help.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/cli/command.h"
#include "core/manual/page.h"

namespace rundlet::client {
namespace {

void AppendEntry(absl::string_view name, absl::string_view about, size_t names, size_t width,
                 std::string& text) {
  const size_t indent = names + 4;
  absl::StrAppend(
      &text, "  ", name, std::string(names - name.size() + 2, ' '),
      manual::Wrap(about, width == 0 ? 0 : std::max<size_t>(24, width - std::min(width, indent)),
                   indent),
      "\n");
}

std::string PrintCommands(size_t width) {
  size_t names = 0;
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group != '\0') names = std::max(names, spec.name.size());
  }
  std::string text, group;
  for (const CommandSpec& spec : AllCommands()) {
    if (*spec.group == '\0') continue;
    if (group != spec.group) {
      absl::StrAppend(&text, text.empty() ? "" : "\n", spec.group, "\n");
      group = spec.group;
    }
    AppendEntry(spec.name, spec.about, names, width, text);
  }
  return text;
}

}  // namespace

absl::string_view TitleOf(const EmbeddedText& topic) {
  return topic.text.substr(0, topic.text.find('\n'));
}

absl::string_view BodyOf(const EmbeddedText& topic) {
  const size_t end = topic.text.find("\n\n");
  return end == absl::string_view::npos ? absl::string_view() : topic.text.substr(end + 2);
}

const EmbeddedText* FindTopic(absl::string_view name) {
  for (const EmbeddedText& topic : HelpTopics()) {
    if (topic.name == name) return &topic;
  }
  return nullptr;
}

std::string PrintTopic(const EmbeddedText& topic, size_t width) {
  std::string text;
  for (const absl::string_view line : absl::StrSplit(topic.text, '\n')) {
    const bool as_is = !line.empty() && line.front() == ' ';
    absl::StrAppend(&text, as_is ? std::string(line) : manual::Wrap(line, width, 0), "\n");
  }
  if (text.ends_with("\n\n")) text.pop_back();
  return text;
}

std::string CommandList() { return PrintCommands(0); }

std::string Overview(size_t width) {
  std::string text = manual::Wrap(
      "The cellar book of a circle of wine makers: what is done is written down here at once, with "
      "a signal or without.",
      width, 0);
  absl::StrAppend(&text, "\n\n  rundlet COMMAND ...          rundlet help COMMAND\n\n",
                  PrintCommands(width), "\nTopics: rundlet help TOPIC\n");
  size_t names = 0;
  for (const EmbeddedText& topic : HelpTopics()) names = std::max(names, topic.name.size());
  for (const EmbeddedText& topic : HelpTopics())
    AppendEntry(topic.name, TitleOf(topic), names, width, text);
  absl::StrAppend(
      &text, "\n",
      manual::Wrap("Commands that write take --at, --note, --dry-run and --json; those that show "
                   "take --json.",
                   width, 0),
      "\n");
  return text;
}

}  // namespace rundlet::client
